"""Roots of whole degrees and powers of sums: exact ones, small degrees, special operands, against MPFR."""

from __future__ import annotations

from itertools import product
from math import inf, isnan, nan
from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from softfloat_py.options import Division, Elementary, Options, SquareRoot, Tables
from softfloat_py.uses import INTEGER_BITS
from tests.engines.running import run_plain, used
from tests.references.exact_rounding import Outcome
from tests.routines.elementary.correctness import assert_correct

FORMATS = pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
OPTIONS = [
    *(Options(tables=tables, division=Division.RECIPROCAL) for tables in Tables),
    Options(
        elementary=Elementary.SHIFT_AND_ADD, division=Division.RADIX_4, square_root=SquareRoot.RECIPROCAL
    ),
]


def pattern(n: int) -> int:
    """The bits of an integer operand."""
    return n % (1 << INTEGER_BITS)


# -- roots ---------------------------------------------------------------------------------------------------


@FORMATS
def test_exact_roots(fmt: Format) -> None:
    """The root of a power that the format has is exact, and its neighbours' roots are not."""
    for root, degree in product((2, 3, 5, 6, 7, 11), (1, 2, 3, 4, 5, 6)):
        if root**degree >= 1 << fmt.precision:
            continue
        power = fmt(root**degree).bits
        for rounding in Rounding:
            outcome = run_plain(used("rootn", fmt), rounding, (power, pattern(degree))).outcome
            assert (fmt(root).bits, Flags.NONE) == outcome, (root, degree)
        for neighbour in (power - 1, power + 1):
            assert_correct("rootn", fmt, neighbour, degree)


@FORMATS
def test_roots_of_powers_of_two(fmt: Format) -> None:
    """Roots of powers of two, of the smallest subnormal one on, are correct for degrees of either sign."""
    for exponent in {fmt.emin - fmt.precision + 1, -6, -1, 1, 6, fmt.emax}:
        if exponent < fmt.emin:
            x = 1 << (exponent - fmt.emin + fmt.trailing_bits)
        else:
            x = (exponent + fmt.bias) << fmt.trailing_bits
        for degree in (1, 2, 3, 6, -1, -2, -3, -6):
            assert_correct("rootn", fmt, x, degree)


@FORMATS
def test_cube_roots_next_to_what_they_are_decided_by(fmt: Format) -> None:
    """Cube roots next to numbers and to the middle between two, where whole numbers decide, are correct."""
    random = Random(1)
    for _ in range(30):
        wide = random.randrange(1 << fmt.precision, 2 << fmt.precision)  # p + 1 bits
        power = wide**3
        significand = power >> (power.bit_length() - fmt.precision)
        exponent = fmt.bias + random.randrange(3)
        x = (exponent << fmt.trailing_bits) + significand - fmt.leading_one
        for neighbour in (x, x + 1):
            assert_correct("rootn", fmt, neighbour, 3)


@pytest.mark.parametrize("degree", [4, -3, 7, -8, 1000, 2**31 - 1, -(2**31)])
@FORMATS
def test_degrees_of_all_sizes(fmt: Format, degree: int) -> None:
    """Roots of any degree, of numbers next to 1 and of the largest and smallest ones, are correct."""
    one = fmt.one
    for x in (1, one - 1, one + 1, one + fmt.leading_one // 3, fmt.largest_finite):
        assert_correct("rootn", fmt, x, degree)
        assert_correct("rootn", fmt, x | fmt.sign_bit, degree)


@pytest.mark.parametrize("options", OPTIONS, ids=lambda options: options.name)
@pytest.mark.parametrize("name", ["rootn", "compound"])
def test_all_ways_to_compute(name: str, options: Options) -> None:
    """With tables of any size, any algorithm for quotients and roots, and by shifts and additions."""
    random = Random(2)
    for _ in range(20):
        x, n = binary32(random.uniform(0.01, 10)), random.choice((-5, -2, -1, 2, 3, 5, 12, 100))
        assert_correct(name, binary32, x.bits, n, options=options)


# -- powers of sums ------------------------------------------------------------------------------------------


@FORMATS
def test_exact_powers_of_sums(fmt: Format) -> None:
    """Powers of sums that the format has are exact, whichever side of 1 the sum lies on."""
    for x, n, wanted in (
        (1, 5, 32),
        (2, 3, 27),
        (-0.5, 3, 0.125),
        (3, -2, 0.0625),
        (0.5, 2, 2.25),
        (6, 1, 7),
    ):
        for rounding in Rounding:
            outcome = run_plain(used("compound", fmt), rounding, (fmt(x).bits, pattern(n))).outcome
            assert (fmt(wanted).bits, Flags.NONE) == outcome, (x, n)


@pytest.mark.parametrize("n", [1, -1, 2, -2, 3, 5, -7])
@FORMATS
def test_sums_that_one_hardly_changes(fmt: Format, n: int) -> None:
    """Beside a large number the 1 still decides to which side of a boundary the power is rounded."""
    for exponent in range(fmt.precision - 1, fmt.emax + 1, 1 + fmt.emax // 12):
        x = (exponent + fmt.bias) << fmt.trailing_bits
        for significand in (0, 1, 1 << (fmt.trailing_bits - 1), fmt.leading_one - 1):
            assert_correct("compound", fmt, x + significand, n)


@pytest.mark.parametrize("n", [1, 2, -3, 12, 365, -(2**31), 2**31 - 1])
@FORMATS
def test_small_rates(fmt: Format, n: int) -> None:
    """Powers of sums with small numbers, down to the smallest, and next to 0 are correct."""
    one = fmt.one
    for magnitude in (1, fmt.leading_one, one >> 1, one - (12 << fmt.trailing_bits), one - 3, one - 1):
        assert_correct("compound", fmt, magnitude, n)
        assert_correct("compound", fmt, magnitude | fmt.sign_bit, n)


# -- special operands ----------------------------------------------------------------------------------------

POLE, INVALID, NONE = Flags.DIVISION_BY_ZERO, Flags.INVALID_OPERATION, Flags.NONE
ROOTN = [
    (0.0, -3, inf, POLE), (-0.0, -3, -inf, POLE), (-0.0, -2, inf, POLE), (-0.0, 2, 0.0, NONE),
    (-0.0, 3, -0.0, NONE), (inf, 3, inf, NONE), (inf, -2, 0.0, NONE), (-inf, 3, -inf, NONE),
    (-inf, -3, -0.0, NONE), (-inf, 2, nan, INVALID), (-2.0, 4, nan, INVALID), (-8.0, 3, -2.0, NONE),
    (-8.0, -3, -0.5, NONE), (2.0, 0, nan, INVALID), (0.0, 0, nan, INVALID), (inf, 0, nan, INVALID),
    (nan, 3, nan, NONE), (1.0, -(2**31), 1.0, NONE), (-1.0, 2**31 - 1, -1.0, NONE),
]  # fmt: skip
COMPOUND = [
    (nan, 0, 1.0, NONE), (nan, 2, nan, NONE), (-1.0, 0, 1.0, NONE), (inf, 0, 1.0, NONE), (0.5, 0, 1.0, NONE),
    (-1.0, -3, inf, POLE), (-1.0, 3, 0.0, NONE), (-1.5, 2, nan, INVALID), (-1.5, 0, nan, INVALID),
    (-inf, 1, nan, INVALID), (inf, 2, inf, NONE), (inf, -2, 0.0, NONE), (0.0, 7, 1.0, NONE),
    (-0.0, -7, 1.0, NONE),
]  # fmt: skip


def expected(fmt: Format, result: float, flags: Flags) -> Outcome:
    """A result as an encoding, the default NaN for a NaN."""
    return fmt.quiet_nan if isnan(result) else fmt(result).bits, flags


@pytest.mark.parametrize(("name", "case"), [*product(["rootn"], ROOTN), *product(["compound"], COMPOUND)])
def test_special_operands(name: str, case: tuple[float, int, float, Flags]) -> None:
    """Special operands have the results and flags of clause 9.2.1 (from memory)."""
    x, n, result, flags = case

    assert (
        expected(binary64, result, flags)
        == run_plain(used(name, binary64), Rounding.TOWARD_NEGATIVE, (binary64(x).bits, pattern(n))).outcome
    )


@pytest.mark.parametrize("name", ["rootn", "compound"])
def test_signalling_nans_are_invalid(name: str) -> None:
    """A signalling NaN is invalid, to the power of 0 too."""
    outcome = run_plain(used(name, binary64), Rounding.TIES_TO_EVEN, (binary64.infinity + 1, 0)).outcome

    assert (binary64.quiet_nan, INVALID) == outcome
