"""The array engine on every operand of operations that are exact or deliver integers."""

from __future__ import annotations

import numpy as np
import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format, binary16, ofp8_e4m3, ofp8_e5m2
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import IntegerOverflow, Options
from softfloat_py.uses import INTEGER_BITS
from tests.engines.drawing import FIRST_NAN, FLUSHED
from tests.engines.running import reference, run_on_arrays, used
from tests.engines.test_exhaustively import all_encodings, all_pairs, assert_equal, assert_every_operand
from tests.references import predicates

EVEN = Rounding.TIES_TO_EVEN
INDEFINITE = Options(integer_overflow=IntegerOverflow.INDEFINITE)
# The integers of formats with few exponents may lie beyond their largest number.
NARROW_RANGE = Format("e2p9", exponent_bits=2, precision=9)
NARROW_RANGE_FINITE = Format("e2p6", exponent_bits=2, precision=6, has_infinity=False)

INTEGRAL = [name for name in OPERATIONS if name.startswith("round_to_integral")]
UNARY = ["next_up", "next_down", "log_b", "copy", "classify"]
BINARY = [*sorted(predicates.EXTREMES), *predicates.ORDERS, "copy_sign"]


def name_of(value: object) -> object:
    """What a format or a direction is called in a report."""
    return getattr(value, "name", value)


@pytest.mark.parametrize("rounding", Rounding, ids=name_of)
@pytest.mark.parametrize("fmt", [binary16, ofp8_e4m3, NARROW_RANGE, NARROW_RANGE_FINITE], ids=name_of)
def test_every_operand_is_rounded_to_an_integer(fmt: Format, rounding: Rounding) -> None:
    """Every encoding gives the integer in its format in each direction, and is inexact as it should be."""
    assert_every_operand(used("round_to_integral_exact", fmt), rounding)


@pytest.mark.parametrize("rounding", Rounding, ids=name_of)
@pytest.mark.parametrize("fmt", [binary16, ofp8_e4m3, NARROW_RANGE, NARROW_RANGE_FINITE], ids=name_of)
def test_every_operand_is_rounded_without_being_inexact(fmt: Format, rounding: Rounding) -> None:
    """The operation with a direction in its name gives the same integers and leaves inexact alone (5.9)."""
    every = all_encodings(fmt)
    results, flags = run_on_arrays(used("round_to_integral_exact", fmt), rounding, every)
    overflowed = flags & Flags.OVERFLOW != 0
    expected = results, np.where(overflowed, flags, flags & ~np.uint8(Flags.INEXACT))
    delivered = run_on_arrays(used(f"round_to_integral_{rounding.name.lower()}", fmt), EVEN, every)

    assert_equal(list(zip(*expected, strict=True)), delivered, (every,))


@pytest.mark.parametrize("fmt", [binary16, ofp8_e4m3, ofp8_e5m2], ids=name_of)
@pytest.mark.parametrize("name", UNARY)
def test_every_operand_of_exact_operations(name: str, fmt: Format) -> None:
    """Every encoding has the expected neighbours, exponent and class."""
    assert_every_operand(used(name, fmt), EVEN)


@pytest.mark.parametrize("options", [FLUSHED, FIRST_NAN], ids=name_of)
@pytest.mark.parametrize("name", [*INTEGRAL, *UNARY])
def test_every_operand_with_options(name: str, options: Options) -> None:
    """Subnormal numbers are read as zeros by arithmetic alone, and NaNs come out as the options say."""
    assert_every_operand(used(name, ofp8_e5m2, options), Rounding.TOWARD_POSITIVE)


@pytest.mark.parametrize("name", BINARY)
def test_every_pair_without_infinities(name: str) -> None:
    """Every pair of a format without infinities is ordered as expected."""
    use, operands = used(name, ofp8_e4m3), all_pairs(ofp8_e4m3)
    pairs = zip(*(operand.tolist() for operand in operands), strict=True)

    assert_equal(
        [reference(use, EVEN, pair) for pair in pairs], run_on_arrays(use, EVEN, *operands), operands
    )


SCALES = [*range(-46, 47, 3), -(1 << 31), (1 << 31) - 1, -(1 << 16), 1 << 16]


@pytest.mark.parametrize("rounding", Rounding, ids=name_of)
def test_every_operand_is_scaled(rounding: Rounding) -> None:
    """Every encoding of an 8-bit format is scaled by integers across its range and by the extremes."""
    every = all_encodings(ofp8_e5m2)
    n = np.array(SCALES) % (1 << INTEGER_BITS)
    operands = np.tile(every, n.size), np.repeat(n.astype(np.uint64), every.size)
    use = used("scale_b", ofp8_e5m2)
    rows = zip(*(operand.tolist() for operand in operands), strict=True)

    assert_equal(
        [reference(use, rounding, row) for row in rows], run_on_arrays(use, rounding, *operands), operands
    )


@pytest.mark.parametrize("n", [-(1 << 31), -25, 14])
def test_every_binary16_operand_is_scaled(n: int) -> None:
    """Every encoding of binary16 is scaled correctly, rounded once where it becomes subnormal."""
    every = all_encodings(binary16)
    pattern = n % (1 << INTEGER_BITS)
    use = used("scale_b", binary16)
    expected = [reference(use, EVEN, (bits, pattern)) for bits in every.tolist()]

    assert_equal(expected, run_on_arrays(use, EVEN, every, np.full(every.size, pattern)), (every,))


# The narrowest integers in all directions, the others in one.
CONVERSIONS = [
    *((IntegerFormat(8, signed=False), rounding) for rounding in Rounding),
    (IntegerFormat(8), Rounding.TOWARD_ZERO),
    (IntegerFormat(16, signed=False), EVEN),
    (IntegerFormat(64, signed=False), Rounding.TOWARD_POSITIVE),
]


@pytest.mark.parametrize(("integer", "rounding"), CONVERSIONS, ids=name_of)
def test_every_binary16_operand_is_converted_and_flagged(integer: IntegerFormat, rounding: Rounding) -> None:
    """Every encoding of binary16 is rounded to an integer, inexact or invalid, never both."""
    assert_every_operand(used("convert_to_integer_exact", binary16, parameter=integer), rounding)


@pytest.mark.parametrize("fmt", [ofp8_e4m3, ofp8_e5m2, NARROW_RANGE_FINITE], ids=name_of)
@pytest.mark.parametrize("signed", [True, False], ids=["signed", "unsigned"])
def test_every_operand_is_converted_or_indefinite(signed: bool, fmt: Format) -> None:
    """With one integer for all that have none, it comes where the reference has it, NaN or not."""
    use = used("convert_to_integer", fmt, INDEFINITE, IntegerFormat(8, signed))
    for rounding in Rounding:
        assert_every_operand(use, rounding)


@pytest.mark.parametrize("signed", [True, False], ids=["signed", "unsigned"])
def test_every_integer_is_converted(signed: bool) -> None:
    """Every integer of eight bits is rounded into a format with fewer in all directions."""
    use = used("convert_from_integer", ofp8_e4m3, parameter=IntegerFormat(8, signed))
    for rounding in Rounding:
        assert_every_operand(use, rounding)
