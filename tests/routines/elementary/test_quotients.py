"""Quotients of fixed-point numbers: never too large, and too small by less than is stated."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from random import Random

import pytest

from softfloat_py.engines import direct
from softfloat_py.options import Division, Options, Tables
from softfloat_py.routines.elementary import quotients
from softfloat_py.routines.elementary.quotients import reciprocal_plan

DIGITS = [
    Options(division=division) for division in (Division.RADIX_2, Division.RADIX_4, Division.BY_DIVIDER)
]
RECIPROCAL = [Options(division=Division.RECIPROCAL, tables=tables) for tables in Tables]
WIDTHS = [(36, 36), (24, 36), (41, 37), (54, 66), (76, 77), (130, 128)]  # of the divisor; bits wanted


def quotient_of(dividend: int, divisor: int, width: int, bits: int, options: Options) -> int:
    """What the routine delivers."""
    operands = {"dividend": (dividend, width + 1), "divisor": (divisor, width)}
    (result,), _ = direct.run(quotients.quotient, operands, {"bits": bits, "options": options})
    return result


def all_pairs(width: int) -> Iterator[tuple[int, int]]:
    """All dividends and divisors of a width."""
    for divisor in range(1 << (width - 1), 1 << width):
        for dividend in range(2 * divisor):
            yield dividend, divisor


def hard_pairs(width: int) -> Iterator[tuple[int, int]]:
    """Dividends and divisors at random, and at the ends of their ranges."""
    random = Random(width)
    least, most = 1 << (width - 1), (1 << width) - 1
    divisors = [least, least + 1, most - 1, most, *(random.randrange(least, most) for _ in range(40))]
    for divisor in divisors:
        for dividend in (0, 1, divisor - 1, divisor, 2 * divisor - 1, random.randrange(2 * divisor)):
            yield dividend, divisor


@pytest.mark.parametrize("options", DIGITS, ids=lambda options: options.division.name)
@pytest.mark.parametrize("width", [2, 3, 4, 5])
@pytest.mark.parametrize("bits", [4, 7])
def test_every_quotient_by_digits_is_rounded_down(width: int, bits: int, options: Options) -> None:
    """Digit by digit, a quotient of small numbers is the exact one rounded down, in either radix."""
    for dividend, divisor in all_pairs(width):
        assert (dividend << bits) // divisor == quotient_of(dividend, divisor, width, bits, options)


@pytest.mark.parametrize("options", RECIPROCAL, ids=lambda options: options.tables.name)
@pytest.mark.parametrize("width", [2, 3, 5])
@pytest.mark.parametrize("bits", [4, 7, 13])
def test_every_quotient_by_reciprocal_is_off_by_less_than_stated(
    width: int, bits: int, options: Options
) -> None:
    """By a reciprocal, a quotient of small numbers is not too large, and too small by less than ERROR."""
    for dividend, divisor in all_pairs(width):
        exact = Fraction(dividend << bits, divisor)

        assert 0 <= exact - quotient_of(dividend, divisor, width, bits, options) < quotients.ERROR


@pytest.mark.parametrize("options", [*DIGITS, *RECIPROCAL], ids=lambda options: options.name)
@pytest.mark.parametrize(("width", "bits"), WIDTHS)
def test_wide_quotient_is_off_by_less_than_stated(width: int, bits: int, options: Options) -> None:
    """So is a quotient in the widths of the formats, which digits find in two halves, or in one."""
    for dividend, divisor in hard_pairs(width):
        exact = Fraction(dividend << bits, divisor)

        assert 0 <= exact - quotient_of(dividend, divisor, width, bits, options) < quotients.ERROR


@pytest.mark.parametrize("options", DIGITS, ids=lambda options: options.division.name)
@pytest.mark.parametrize("bits", [4, 5])
def test_every_quotient_in_halves_is_off_by_less_than_stated(bits: int, options: Options) -> None:
    """In two halves, a quotient of small numbers is not too large, and too small by less than ERROR."""
    width = quotients.half_of(bits) + 3
    for dividend, divisor in all_pairs(width):
        operands = {"dividend": (dividend, width + 1), "divisor": (divisor, width)}
        (found,), _ = direct.run(quotients.quotient_in_halves, operands, {"bits": bits, "options": options})

        assert 0 <= Fraction(dividend << bits, divisor) - found < quotients.ERROR


@pytest.mark.parametrize("index_bits", [0, 1, 5, 8])
@pytest.mark.parametrize("bits", [3, 20, 68])
def test_reciprocal_is_off_by_less_than_its_plan_says(bits: int, index_bits: int) -> None:
    """1 - d R lies between 0 and the error of the plan, which is as small as was asked for."""
    plan = reciprocal_plan(bits, index_bits)
    assert plan.error <= Fraction(1, 2**bits)
    for _, divisor in hard_pairs(30):
        (found,), _ = direct.run(quotients.reciprocal, {"divisor": (divisor, 30)}, {"plan": plan})

        assert 0 <= 1 - Fraction(divisor, 2**29) * Fraction(found, 2 ** plan.steps[-1]) <= plan.error
