"""The array engine on every operand of reciprocal roots in binary16, on every pair of small formats."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary16, ofp8_e4m3, ofp8_e5m2
from softfloat_py.options import Options, Tininess
from tests.engines.drawing import BY_RECIPROCAL, FLUSHED
from tests.engines.running import reference, run_on_arrays, used
from tests.engines.test_exhaustively import all_encodings, all_pairs, assert_equal, assert_every_operand
from tests.references.exact_rounding import Destination, Outcome, root_for_rounding

# Without much range, results overflow, or lie below the normal range; without much precision, all widths are
# the least there are.
NARROW = [
    Format(f"e{bits}p{precision}", exponent_bits=bits, precision=precision, has_infinity=has_infinity)
    for bits, precision in ((2, 2), (2, 4), (3, 3), (4, 2))
    for has_infinity in (True, False)
]
SATURATING = Options(saturate=True, tininess=Tininess.BEFORE_ROUNDING)


def name_of(value: object) -> object:
    """What a format or options are called in a report."""
    return getattr(value, "name", value)


def rounded_root(fmt: Format, square: Fraction) -> tuple[Outcome, ...]:
    """The square root of a number above zero, rounded in each direction."""
    value = root_for_rounding(square, fmt.precision)
    return tuple(Destination(fmt, rounding).round(value) for rounding in Rounding)


def outcomes(name: str, fmt: Format, *operands: int) -> tuple[Outcome, ...]:
    """What the reference says of special operands and zeros."""
    return tuple(reference(used(name, fmt), rounding, operands) for rounding in Rounding)


# -- reciprocal roots ---------------------------------------------------------------------------------------


@cache
def reciprocal_roots() -> list[tuple[Outcome, ...]]:
    """What is expected for all encodings of binary16, where all results are normal numbers.

    Of four times a number it is half of that, which is the encoding with the exponent before.
    """
    found: list[tuple[Outcome, ...]] = []
    for bits in range(1 << binary16.width):
        if not 0 < bits < binary16.infinity:
            found.append(outcomes("r_sqrt", binary16, bits))
        elif bits < 3 * binary16.leading_one:
            found.append(rounded_root(binary16, 1 / binary16.decode(bits)))
        else:
            of_fourth = found[bits - 2 * binary16.leading_one]
            found.append(tuple((result - binary16.leading_one, flags) for result, flags in of_fourth))
    return found


@pytest.mark.parametrize("options", [Options(), BY_RECIPROCAL], ids=name_of)
def test_every_binary16_operand_has_its_reciprocal_root(options: Options) -> None:
    """Both methods give every encoding of binary16 its result and flags in all five directions."""
    every, use = all_encodings(binary16), used("r_sqrt", binary16, options)

    for rounding, expected in zip(Rounding, zip(*reciprocal_roots(), strict=True), strict=True):
        assert_equal(list(expected), run_on_arrays(use, rounding, every), (every,))


@pytest.mark.parametrize("options", [Options(), BY_RECIPROCAL, FLUSHED, SATURATING], ids=name_of)
@pytest.mark.parametrize("fmt", [*NARROW, ofp8_e4m3, ofp8_e5m2], ids=name_of)
def test_every_operand_of_a_small_format_has_its_reciprocal_root(fmt: Format, options: Options) -> None:
    """Formats of few bits get their results too, where these overflow, or are below the normal range."""
    for rounding in Rounding:
        assert_every_operand(used("r_sqrt", fmt, options), rounding)


# -- hypot --------------------------------------------------------------------------------------------------


def roots_of_sums(fmt: Format) -> list[tuple[Outcome, ...]]:
    """What is expected for all pairs of a format, in their order; few sums of squares come from many."""
    rounded = cache(lambda square: rounded_root(fmt, square))
    every = range(1 << fmt.width)
    squares = [fmt.decode(bits) ** 2 if fmt.is_finite(bits) else None for bits in every]

    def outcomes_of_pair(x: int, y: int) -> tuple[Outcome, ...]:
        first, second = squares[x], squares[y]
        if first is None or second is None or not first + second:
            return outcomes("hypot", fmt, x, y)
        return rounded(first + second)

    return [outcomes_of_pair(x, y) for x in every for y in every]


@pytest.mark.parametrize("fmt", [ofp8_e4m3, ofp8_e5m2], ids=name_of)
def test_every_pair_has_its_hypot(fmt: Format) -> None:
    """Both methods give every pair of 8 bits its result and flags in all five directions."""
    operands, by_direction = all_pairs(fmt), list(zip(*roots_of_sums(fmt), strict=True))

    for options in (Options(), BY_RECIPROCAL):
        for rounding in Rounding:
            delivered = run_on_arrays(used("hypot", fmt, options), rounding, *operands)
            assert_equal(list(by_direction[rounding]), delivered, operands)


@pytest.mark.parametrize("options", [Options(), BY_RECIPROCAL, FLUSHED, SATURATING], ids=name_of)
@pytest.mark.parametrize("fmt", NARROW, ids=name_of)
def test_every_pair_of_a_narrow_format_has_its_hypot(fmt: Format, options: Options) -> None:
    """Formats of few bits get their results too, where these overflow, or are below the normal range."""
    use, operands = used("hypot", fmt, options), all_pairs(fmt)
    pairs = list(zip(*(operand.tolist() for operand in operands), strict=True))

    for rounding in (Rounding.TIES_TO_EVEN, Rounding.TOWARD_NEGATIVE):
        expected = [reference(use, rounding, pair) for pair in pairs]
        assert_equal(expected, run_on_arrays(use, rounding, *operands), operands)
