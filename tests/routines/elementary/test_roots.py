"""Reciprocal roots and sums of squares: what is found on the way is as near as the docstrings argue."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import isqrt
from random import Random

import pytest

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, SquareRoot, Tables
from softfloat_py.routines.elementary import hypot, r_sqrt
from softfloat_py.routines.elementary.reciprocal_roots import (
    SEED_BITS,
    correction_of,
    estimate_bits,
    first_digits,
    reciprocal_root,
    seed,
)
from softfloat_py.routines.language import Bits

PRECISIONS = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 16, 24, 53, 56, 57, 64, 113]
DIGITS = Options()
BY_RECIPROCAL = [Options(square_root=SquareRoot.RECIPROCAL, tables=tables) for tables in Tables]
FEW = 300

each_precision = pytest.mark.parametrize("precision", PRECISIONS)


def format_of(precision: int) -> BinaryFormat:
    """Some format of this precision."""
    return BinaryFormat(f"p{precision}", exponent_bits=8, precision=precision)


def numbers(least: int, beyond: int) -> Iterator[int]:
    """All whole numbers of a range if they are few, or else those at its ends and some between."""
    if beyond - least <= FEW:
        yield from range(least, beyond)
        return
    yield from (least, least + 1, beyond - 2, beyond - 1)
    random = Random(beyond)
    for _ in range(FEW // 3):
        yield random.randrange(least, beyond)


def root(square: Fraction) -> Fraction:
    """The square root of a positive number, rounded down to 500 bits after the point."""
    return Fraction(isqrt((square.numerator << 1000) // square.denominator), 1 << 500)


# -- reciprocal roots ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("tables", "bits"), [(Tables.NONE, 2.7), (Tables.SMALL, 6.6), (Tables.LARGE, 6.6)])
def test_seed_is_as_close_as_argued(tables: Tables, bits: float) -> None:
    """The line is good to 2.7 bits, an entry of the table to 6.6, for all leading bits of the radicand."""
    for leading in range(1 << 10, 1 << 12):
        found = Fraction(seed(Bits(leading, 12), Options(tables=tables)).value, 1 << SEED_BITS)
        for radicand in (leading, leading + 1):
            assert abs(1 - root(Fraction(radicand, 1 << 12)) * found) < Fraction(2.0**-bits)


@pytest.mark.parametrize("options", BY_RECIPROCAL, ids=lambda options: options.name)
@pytest.mark.parametrize("bits", [4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 15, 16, 22, 23, 24, 42])
def test_newton_s_method_ends_as_close_as_argued(bits: int, options: Options) -> None:
    """It never ends above the reciprocal root Y, and below it by less than (0.6 Y + 3/8 q + 1) 2^-bits."""
    width = 3 * bits
    for x in numbers(1 << (width - 2), 1 << width):
        found = Fraction(reciprocal_root(Bits(x, width), bits, options).value, 1 << bits)
        exact = root(Fraction(1 << width, x))

        assert 0 <= exact - found < (Fraction(6, 10) * exact + Fraction(3, 8) * found + 1) / (1 << bits)


@each_precision
def test_digits_of_a_reciprocal_root_are_as_close_as_argued(precision: int) -> None:
    """They miss less than one of the last, and the rest is too large by less than six units for each 2^6."""
    width, digits = precision + 6, first_digits(precision + 8)
    for radicand in numbers(1 << (precision - 1), 1 << (precision + 1)):
        found, rest = r_sqrt.digits_of_reciprocal_root(Bits(radicand << 5, width), digits)
        q, x = Fraction(found.value, 1 << digits), Fraction(radicand, 1 << (precision + 1))
        too_large = Fraction(rest.value, 1 << width) - (1 - x * q * q) * (1 << digits)

        assert 0 <= too_large < Fraction(6, 1 << 6) * Fraction(1 << digits, 1 << width)
        assert root(1 / x) - q <= Fraction(1, 1 << digits)


@each_precision
def test_correction_is_too_small_by_less_than_argued(precision: int) -> None:
    """It is never above 2^k (e + 3/4 e²), and below it by less than 1 3/8 units and one of the rest."""
    bits = precision + 8
    digits = first_digits(bits)
    unit = Fraction(1 << digits, 1 << (bits - 2))
    for rest in numbers(0, (1 << (bits - 1)) - (1 << (bits - 1 - digits)) * 4):
        scaled = Fraction(rest, 1 << (bits - 2))
        exact = scaled + Fraction(3, 4) * scaled**2 / (1 << digits)
        found = correction_of(Bits(rest, bits - 1)).value * unit

        assert 0 <= exact - found < unit * Fraction(11, 8) + Fraction(1, 1 << (bits - 2))


@pytest.mark.parametrize("options", [DIGITS, *BY_RECIPROCAL], ids=lambda options: options.name)
@each_precision
def test_estimate_of_a_reciprocal_root_is_as_close_as_argued(precision: int, options: Options) -> None:
    """It is too small by less than 5 units of its last place, too large by less than 1.1."""
    fmt = format_of(precision)
    for radicand in numbers((1 << (precision - 1)) + 1, 1 << (precision + 1)):
        found = r_sqrt.estimate_of(Bits(radicand, precision + 1), fmt, options).value
        exact = root(Fraction(1 << (precision + 1), radicand)) * (1 << (estimate_bits(fmt) - 1))

        assert -Fraction(11, 10) < exact - found < 5


# -- sums of squares ----------------------------------------------------------------------------------------


@each_precision
def test_square_loses_less_than_two_units(precision: int) -> None:
    """It is never too large, and too small by less than two units of 2^(p - 8)."""
    fmt, unit = format_of(precision), Fraction(2) ** (precision - 8)
    for significand in numbers(1, 1 << precision):
        found = hypot.square_of(Bits(significand, precision), fmt).value * unit

        assert 0 <= significand**2 - found < 2 * unit


def radicands(precision: int) -> Iterator[tuple[int, Fraction]]:
    """Totals of n bits that are too small by less than 4 units, beside the exact ones as fractions."""
    bits = precision + 8
    random = Random(precision)
    for total in numbers(1 << (bits - 2), 1 << bits):
        for lost in (Fraction(0), Fraction(random.randrange(1, 400), 100), Fraction(399, 100)):
            if total + lost < 1 << bits:
                yield total, (total + lost) / (1 << bits)


@each_precision
def test_root_by_digits_is_right_where_it_is_not_in_doubt(precision: int) -> None:
    """Sure, it is p + 1 bits rounded down, of a root that has more; in doubt, the boundary is next to it."""
    fmt, bits = format_of(precision), precision + 8
    for total, exact in radicands(precision):
        found = hypot.root_by_digits(Bits(total, bits), fmt)
        scaled = root(exact) * (1 << (precision + 1))
        if found.doubtful.value:
            assert abs(scaled - found.boundary.value) < 1
        else:
            assert found.significand.value >> 1 < scaled < (found.significand.value >> 1) + 1


@pytest.mark.parametrize("options", BY_RECIPROCAL, ids=lambda options: options.name)
@each_precision
def test_root_by_reciprocal_is_as_close_as_argued(precision: int, options: Options) -> None:
    """It is never too large, and too small by less than 9.5 units of its last place."""
    fmt, bits = format_of(precision), precision + 8
    for total, exact in radicands(precision):
        found = hypot.root_by_reciprocal(Bits(total, bits), fmt, options).significand.value

        assert 0 <= root(exact) * (1 << bits) - found < Fraction(19, 2)
