"""Hypothesis strategies for uses of operations and for operands that fit them.

Elementary functions are many, and their programs long: the matrices have each in few formats, with few
examples. What that leaves out is in `python -m tests.campaigns functions`: every operand of small formats.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from hypothesis import strategies as st

from softfloat_py.environment import Rounding
from softfloat_py.formats import BinaryFormat, IntegerFormat
from softfloat_py.numbers.formats import (
    Format,
    bfloat16,
    binary16,
    binary32,
    binary64,
    binary128,
    extended80,
    ofp8_e4m3,
    ofp8_e5m2,
)
from softfloat_py.operations import ELEMENTARY, OPERATIONS
from softfloat_py.options import (
    COMPLETE,
    LEAN,
    Division,
    Elementary,
    IntegerOverflow,
    LeadingZeros,
    NaNResult,
    Options,
    Payload,
    Product,
    SquareRoot,
    Tables,
    Tininess,
)
from softfloat_py.uses import INTEGER_BITS, Use, use_of
from tests import strategies

FORMATS = (binary16, bfloat16, binary32, binary64, binary128, extended80, ofp8_e4m3, ofp8_e5m2)
INTEGER_FORMATS = [IntegerFormat(width, signed) for width in (8, 16, 32, 64) for signed in (True, False)]
FLUSHED = Options(subnormal_operands=False, subnormal_results=False)
BY_RECIPROCAL = Options(division=Division.RECIPROCAL, square_root=SquareRoot.RECIPROCAL)
BY_PARTS = Options(leading_zeros=LeadingZeros.HALVING, product=Product.PARTIAL, division=Division.RADIX_4)
BY_DIVIDER = Options(division=Division.BY_DIVIDER)
NO_SPECIALS = Options(special=False)
BARE = Options(
    all_directions=False, flags=False, subnormal_operands=False, subnormal_results=False, special=False,
    division=Division.RECIPROCAL, square_root=SquareRoot.RECIPROCAL,
)  # fmt: skip
# Conventions as two families of targets have them.
FIRST_NAN = Options(
    nan=NaNResult.FIRST_OPERAND, negative_nan=True, subnormal_operands=False,
    integer_overflow=IntegerOverflow.INDEFINITE,
)  # fmt: skip
LARGER_NAN = Options(
    nan=NaNResult.LARGER_PAYLOAD, nan_payload=Payload.ONES, tininess=Tininess.BEFORE_ROUNDING
)
FLUSHED_RESULTS = Options(subnormal_results=False, saturate=True, negative_nan=True, in_memory=True)
SHIFTED = Options(elementary=Elementary.SHIFT_AND_ADD)
WITHOUT_TABLES = Options(tables=Tables.NONE)
WITH_LARGE_TABLES = Options(tables=Tables.LARGE)
ALL_OPTIONS = (
    COMPLETE, LEAN, FLUSHED, BY_RECIPROCAL, BY_PARTS, BY_DIVIDER, NO_SPECIALS, BARE, FIRST_NAN, LARGER_NAN,
    FLUSHED_RESULTS,
)  # fmt: skip
# Beside those, what elementary functions alone look at.
ELEMENTARY_OPTIONS = (*ALL_OPTIONS, SHIFTED, WITHOUT_TABLES, WITH_LARGE_TABLES)

OTHERS = [name for name in OPERATIONS if name not in ELEMENTARY]

# Custom formats are drawn from few, because an engine compiles an operation anew for each.
SMALL_FORMATS = (
    Format("e2p2", exponent_bits=2, precision=2),
    Format("e3p3", exponent_bits=3, precision=3),
    Format("e2p9", exponent_bits=2, precision=9),
    Format("e7p3", exponent_bits=7, precision=3),
    Format("e5p16", exponent_bits=5, precision=16),
)


def any_format() -> st.SearchStrategy[Format]:
    """One of the known formats or of the small ones."""
    return st.sampled_from((*FORMATS, *SMALL_FORMATS))


def elementary_formats(name: str) -> tuple[Format, ...]:
    """The formats that an elementary function is tried in: binary16, binary32, and a small and another known
    one, which go round.
    """
    place = ELEMENTARY.index(name)
    others = [fmt for fmt in FORMATS if fmt not in (binary16, binary32)]
    return binary16, binary32, SMALL_FORMATS[place % len(SMALL_FORMATS)], others[place % len(others)]


def elementary_uses(name: str) -> st.SearchStrategy[Use]:
    """An elementary function in one of its formats, with any options."""
    return st.builds(
        partial(use_of, OPERATIONS[name]),
        st.sampled_from(elementary_formats(name)),
        st.sampled_from(ELEMENTARY_OPTIONS),
    )


def roundings_of(options: Options) -> st.SearchStrategy[Rounding]:
    """The directions that a routine with these options has."""
    return strategies.roundings() if options.all_directions else st.just(Rounding.TIES_TO_EVEN)


def parameters_of(name: str) -> st.SearchStrategy[Any]:
    """What a conversion fixes at each use; None for other operations."""
    if name == "convert_format":
        return any_format()
    return st.sampled_from(INTEGER_FORMATS) if OPERATIONS[name].parameters else st.none()


def integer_patterns(width: int) -> st.SearchStrategy[int]:
    """The bits of any integer, signed or not; the ends of both ranges come up often."""
    half = 1 << (width - 1)
    return st.sampled_from([0, 1, 2 * half - 1, half, half - 1]) | st.integers(0, 2 * half - 1)


def scales(fmt: BinaryFormat) -> st.SearchStrategy[int]:
    """The bits of an integer to scale by: across the range of exponents and a little beyond, or any."""
    across = fmt.emax - fmt.emin + fmt.precision + 4
    near = st.integers(-across, across) | st.integers(-fmt.precision, fmt.precision)
    return near.map(lambda n: n % (1 << INTEGER_BITS)) | integer_patterns(INTEGER_BITS)


def whole_exponents() -> st.SearchStrategy[int]:
    """The bits of an integer that is a power's exponent or a root's degree: small ones come up often."""
    return st.integers(-20, 20).map(lambda n: n % (1 << INTEGER_BITS)) | integer_patterns(INTEGER_BITS)


def operands_of(use: Use) -> st.SearchStrategy[tuple[int, ...]]:
    """Operands that a use admits: finite ones where its options leave out the others."""
    assert isinstance(use.format, BinaryFormat)
    if use.operation.name == "convert_from_integer":
        return st.tuples(integer_patterns(use.integer.width))
    if use.operation.integer_operands:
        integers = scales(use.format) if use.operation.name == "scale_b" else whole_exponents()
        return st.tuples(strategies.encodings(use.format), integers).filter(
            lambda drawn: use.options.special or use.format.is_finite(drawn[0])
        )
    if OPERATIONS[use.operation.name].arity == 1:
        operands: st.SearchStrategy[tuple[int, ...]] = st.tuples(strategies.encodings(use.format))
    elif OPERATIONS[use.operation.name].arity == 3:
        operands = strategies.triples(use.format)
    else:
        operands = strategies.pairs(use.format)
    if use.options.special:
        return operands
    return operands.filter(lambda drawn: all(use.format.is_finite(bits) for bits in drawn))
