"""The outside references agree with each other wherever two of them know the answer."""

from __future__ import annotations

import random
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.options import Options
from tests import strategies
from tests.references import host, integers, ml_floats, multiprecision, rational
from tests.references.predicates import CLASSES, COMPARISONS, is_subnormal

FLUSHED = Options(subnormal_operands=False, subnormal_results=False)

ARITHMETIC = sorted(multiprecision.METHODS)
ROOTS = ["hypot", "r_sqrt"]
ANY_FORMAT = st.sampled_from([binary16, bfloat16, binary32, binary64]) | strategies.formats()
MPFR_ROUNDINGS = st.sampled_from(sorted(multiprecision.DIRECTIONS))
INTEGER_FORMATS = st.builds(IntegerFormat, st.sampled_from([8, 16, 32, 64]), st.booleans())
INT8 = IntegerFormat(8)
ARRAY_REFERENCES = [
    pytest.param(host, binary16, id="host-binary16"),
    pytest.param(host, binary32, id="host-binary32"),
    pytest.param(host, binary64, id="host-binary64"),
    pytest.param(ml_floats, bfloat16, id="bfloat16"),
]


def operands_for(operation: str, x: Any, y: Any) -> tuple[Any, ...]:
    """As many of two operands as the operation takes."""
    return (x,) if operation in ("square_root", "r_sqrt") else (x, y)


def sample(fmt: Format, count: int = 300) -> NDArray[np.uint64]:
    """Pairs of encodings, shape (2, n): corner beside corner, random ones, random ones of like exponent."""
    corners = strategies.corner_encodings(fmt)
    pairs = [(x, y) for x in corners for y in corners]
    chance = random.Random(fmt.width)
    for _ in range(count):
        x, y = chance.getrandbits(fmt.width), chance.getrandbits(fmt.width)
        pairs += [(x, y), (x, x ^ y % (4 * fmt.leading_one))]
    return np.array(pairs, dtype=np.uint64).T


def results_by_rational(operation: str, fmt: Format, *operands: NDArray[Any]) -> list[int]:
    """Results of the rational reference over arrays, ties to even."""
    rows = zip(*(column.tolist() for column in operands), strict=True)
    return [rational.expected(operation, fmt, Rounding.TIES_TO_EVEN, *row)[0] for row in rows]


# -- against MPFR: results and flags -----------------------------------------------------------------------


@pytest.mark.parametrize("operation", [*ARITHMETIC, *ROOTS])
@settings(max_examples=300)
@given(data=st.data(), fmt=ANY_FORMAT, rounding=MPFR_ROUNDINGS)
def test_rational_arithmetic_agrees_with_mpfr(
    operation: str, data: st.DataObject, fmt: Format, rounding: Rounding
) -> None:
    """Rational arithmetic and MPFR deliver the same results and flags in any format."""
    operands = operands_for(operation, *data.draw(strategies.pairs(fmt)))

    assert multiprecision.expected(operation, fmt, rounding, *operands) == rational.expected(
        operation, fmt, rounding, *operands
    )


@settings(max_examples=300)
@given(data=st.data(), source=ANY_FORMAT, target=ANY_FORMAT, rounding=MPFR_ROUNDINGS)
def test_rational_format_conversion_agrees_with_mpfr(
    data: st.DataObject, source: Format, target: Format, rounding: Rounding
) -> None:
    """Rational arithmetic and MPFR convert between any two formats alike."""
    bits = data.draw(strategies.encodings(source))

    assert multiprecision.convert_format(source, target, rounding, bits) == rational.convert_format(
        source, target, rounding, bits
    )


@settings(max_examples=200)
@given(data=st.data(), source=ANY_FORMAT, integer=INTEGER_FORMATS, rounding=MPFR_ROUNDINGS)
def test_rational_conversion_to_integer_agrees_with_mpfr(
    data: st.DataObject, source: Format, integer: IntegerFormat, rounding: Rounding
) -> None:
    """Rational arithmetic and MPFR round finite numbers to the same integers and saturate alike."""
    bits = data.draw(strategies.finite_encodings(source))

    assert multiprecision.convert_to_integer(source, rounding, integer, bits) == integers.convert_to_integer(
        source, rounding, integer, bits
    )


@settings(max_examples=200)
@given(target=ANY_FORMAT, rounding=MPFR_ROUNDINGS, value=st.integers(-(1 << 63), (1 << 63) - 1))
def test_rational_conversion_from_integer_agrees_with_mpfr(
    target: Format, rounding: Rounding, value: int
) -> None:
    """Rational arithmetic and MPFR round integers into any format alike."""
    assert multiprecision.convert_from_integer(target, rounding, value) == integers.convert_from_integer(
        target, rounding, value, IntegerFormat(64)
    )


# -- against the host and ml_dtypes: results, ties to even -------------------------------------------------


@pytest.mark.parametrize("operation", ARITHMETIC)
@pytest.mark.parametrize(("reference", "fmt"), ARRAY_REFERENCES)
def test_array_references_agree_with_rational_arithmetic(reference: Any, operation: str, fmt: Format) -> None:
    """Host arithmetic and ml_dtypes deliver the encodings that rational arithmetic does."""
    operands = operands_for(operation, *sample(fmt))

    assert (
        reference.expected_array(operation, fmt, *operands).tolist()
        == results_by_rational(operation, fmt, *operands)
    )  # fmt: skip


@pytest.mark.parametrize("operation", sorted(host.COMPARISONS))
@pytest.mark.parametrize(("reference", "fmt"), ARRAY_REFERENCES)
def test_array_comparisons_agree_with_rational_arithmetic(
    reference: Any, operation: str, fmt: Format
) -> None:
    """Host and ml_dtypes comparisons have the truth values of the reference's predicates."""
    operands = sample(fmt, count=100)

    assert (
        reference.expected_array(operation, fmt, *operands).tolist()
        == results_by_rational(operation, fmt, *operands)
    )  # fmt: skip


@pytest.mark.parametrize("reference", [host, ml_floats], ids=["host", "ml_dtypes"])
def test_array_conversions_agree_with_rational_arithmetic(reference: Any) -> None:
    """Host and ml_dtypes conversions between all their formats are those of rational arithmetic."""
    for source in reference.FLOATS:
        encodings = np.unique(sample(source))
        for target in reference.FLOATS:
            wanted = [
                rational.convert_format(source, target, Rounding.TIES_TO_EVEN, bits)[0]
                for bits in encodings.tolist()
            ]

            assert reference.convert_format_array(source, target, encodings).tolist() == wanted


@pytest.mark.parametrize("fmt", list(host.FLOATS), ids=repr)
def test_classes_agree_with_numpy(fmt: Format) -> None:
    """The class predicates say of every sampled encoding what numpy's do."""
    encodings = np.unique(sample(fmt))
    values = host.floats_of(host.FLOATS[fmt], encodings)
    with np.errstate(invalid="ignore"):
        small = np.abs(values) < np.finfo(values.dtype).smallest_normal
    by_numpy = {
        "is_sign_minus": np.signbit(values),
        "is_zero": values == 0,
        "is_subnormal": small & (values != 0),
        "is_normal": np.isfinite(values) & ~small,
        "is_finite": np.isfinite(values),
        "is_infinite": np.isinf(values),
        "is_nan": np.isnan(values),
    }
    for name, wanted in by_numpy.items():
        assert wanted.astype(int).tolist() == results_by_rational(name, fmt, encodings)


# -- what no other reference knows, checked from its definition --------------------------------------------


@settings(max_examples=300)
@given(data=st.data(), source=ANY_FORMAT, target=strategies.formats())
def test_ties_to_away_picks_the_nearer_neighbour_or_the_outer(
    data: st.DataObject, source: Format, target: Format
) -> None:
    """Ties to away picks the nearer of the two results of directed rounding, the outer where they tie."""
    bits = data.draw(strategies.finite_encodings(source))
    value = source.decode(bits)
    outward = Rounding.TOWARD_NEGATIVE if value < 0 else Rounding.TOWARD_POSITIVE
    inner, outer = (
        multiprecision.convert_format(source, target, rounding, bits)[0]
        for rounding in (Rounding.TOWARD_ZERO, outward)
    )

    def distance(encoding: int) -> Fraction:
        magnitude = encoding % target.sign_bit
        if magnitude == target.infinity:  # stands for the next power of two (clause 4.3.1)
            return abs(Fraction(2) ** (target.emax + 1) - abs(value))
        return abs(target.decode(magnitude) - abs(value))

    wanted = inner if distance(inner) < distance(outer) else outer
    result, flags = rational.convert_format(source, target, Rounding.TIES_TO_AWAY, bits)

    assert wanted == result
    assert (inner != outer) == flags.inexact


@settings(max_examples=200)
@given(data=st.data(), fmt=ANY_FORMAT, rounding=strategies.roundings())
def test_flushing_changes_tiny_products_only(data: st.DataObject, fmt: Format, rounding: Rounding) -> None:
    """With flushing, a product below the normals is a signed zero, and any other product is unchanged."""
    x, y = data.draw(strategies.pairs(fmt))
    assume(not any(is_subnormal(fmt, bits) or not fmt.is_finite(bits) for bits in (x, y)))
    wanted = rational.expected("multiplication", fmt, rounding, x, y)
    if 0 < abs(fmt.decode(x) * fmt.decode(y)) < Fraction(2) ** fmt.emin:
        wanted = ((x ^ y) & fmt.sign_bit, Flags.UNDERFLOW | Flags.INEXACT)

    assert wanted == rational.expected("multiplication", fmt, rounding, x, y, options=FLUSHED)


@pytest.mark.parametrize(
    "operation", [*ARITHMETIC, "maximum", "minimum", "compare_quiet_less", "compare_signaling_equal"]
)
@settings(max_examples=50)
@given(data=st.data(), fmt=ANY_FORMAT, rounding=strategies.roundings())
def test_flushing_reads_subnormal_operands_as_zeros(
    operation: str, data: st.DataObject, fmt: Format, rounding: Rounding
) -> None:
    """With flushing, a subnormal operand acts as the zero of its sign."""
    tiny = data.draw(st.integers(1, fmt.leading_one - 1)) | data.draw(st.sampled_from([0, fmt.sign_bit]))
    other = data.draw(strategies.encodings(fmt))
    with_zero = operands_for(operation, tiny & fmt.sign_bit, other)
    with_tiny = operands_for(operation, tiny, other)

    assert rational.expected(operation, fmt, rounding, *with_zero, options=FLUSHED) == rational.expected(
        operation, fmt, rounding, *with_tiny, options=FLUSHED
    )


def test_flushing_reads_a_subnormal_as_zero_in_conversions() -> None:
    """With flushing, a subnormal rounds up to the integer 0, and reaches a wider format as zero."""
    smallest = binary16.smallest_subnormal
    upward = Rounding.TOWARD_POSITIVE

    assert (1, Flags.NONE) == integers.convert_to_integer(binary16, upward, INT8, smallest)
    assert (0, Flags.NONE) == integers.convert_to_integer(binary16, upward, INT8, smallest, options=FLUSHED)
    assert (0, Flags.NONE) == rational.convert_format(binary16, binary32, upward, smallest, options=FLUSHED)


@settings(max_examples=200)
@given(data=st.data(), fmt=ANY_FORMAT)
def test_comparisons_named_by_negation_are_negations(data: st.DataObject, fmt: Format) -> None:
    """Each predicate and its negation (tables 5.1 to 5.3 of the standard) differ in every result."""
    x, y = data.draw(strategies.pairs(fmt))
    negations = {
        "equal": "not_equal",
        "greater": "not_greater",
        "less": "not_less",
        "greater_equal": "less_unordered",
        "less_equal": "greater_unordered",
        "ordered": "unordered",
    }
    for kind in ("quiet", "signaling"):
        for predicate, negation in negations.items():
            names = [f"compare_{kind}_{predicate}", f"compare_{kind}_{negation}"]
            if names[0] in COMPARISONS:
                results = [rational.expected(name, fmt, Rounding.TIES_TO_EVEN, x, y)[0] for name in names]

                assert [0, 1] == sorted(results)


@settings(max_examples=200)
@given(data=st.data(), fmt=ANY_FORMAT)
def test_maximum_and_minimum_bound_both_operands(data: st.DataObject, fmt: Format) -> None:
    """Of two numbers, the maximum is not less than either and the minimum is the other one."""
    x, y = data.draw(strategies.pairs(fmt).filter(lambda pair: not any(map(fmt.is_nan, pair))))
    largest, no_flags = rational.expected("maximum", fmt, Rounding.TIES_TO_EVEN, x, y)
    smallest, _ = rational.expected("minimum", fmt, Rounding.TIES_TO_EVEN, x, y)

    assert Flags.NONE == no_flags
    assert sorted([x, y]) == sorted([smallest, largest])
    assert (1, Flags.NONE) == rational.expected(
        "compare_quiet_less_equal", fmt, Rounding.TIES_TO_EVEN, smallest, largest
    )


def test_an_integer_outside_its_format_is_refused() -> None:
    """A value that the stated integer format cannot hold is the caller's mistake."""
    with pytest.raises(ValueError, match="must be one of int8, not 128"):
        integers.convert_from_integer(binary16, Rounding.TIES_TO_EVEN, 128, INT8)


def test_an_unknown_operation_has_no_reference() -> None:
    """An operation without a reference raises instead of passing by default."""
    for reference in (rational, multiprecision):
        with pytest.raises(KeyError, match="cube_root"):
            reference.expected("cube_root", binary16, Rounding.TIES_TO_EVEN, 0)


# -- the strategies ----------------------------------------------------------------------------------------


@given(fmt=ANY_FORMAT)
def test_corner_encodings_are_encodings_of_every_class(fmt: Format) -> None:
    """The corners fit the format, come up once each, and show every class the format can show."""
    corners = strategies.corner_encodings(fmt)
    has_signaling_nans = fmt.trailing_bits > 1

    assert corners == sorted({fmt.check_encoding(bits) for bits in corners})
    for name, belongs in CLASSES.items():
        assert (has_signaling_nans or name != "is_signaling") == any(belongs(fmt, bits) for bits in corners)


@given(data=st.data(), fmt=ANY_FORMAT)
def test_pairs_are_encodings(data: st.DataObject, fmt: Format) -> None:
    """Drawn pairs fit the format they were drawn for."""
    x, y = data.draw(strategies.pairs(fmt))

    assert (x, y) == (fmt.check_encoding(x), fmt.check_encoding(y))
