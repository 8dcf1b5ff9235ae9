"""Small quotients: off by less than is stated, for divisors and digits of any number of bits."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from softfloat_py.engines import direct
from softfloat_py.routines.elementary.small_quotients import small_quotient, small_quotient_plan

PLANS = [(0, 20, 5), (5, 41, 7), (5, 81, 7), (8, 41, 9), (4, 41, 0), (4, 30, 3), (7, 140, 6)]


@pytest.mark.parametrize(("below", "bits", "index_bits"), PLANS)
@pytest.mark.parametrize("width", [12, 24, 37, 60, 90])
def test_quotients_are_off_by_less_than_stated(below: int, bits: int, index_bits: int, width: int) -> None:
    """Quotients of numbers at random and at the ends of their ranges are as near as the plan says."""
    plan = small_quotient_plan(below, bits, index_bits)
    random = Random(width)
    one, unit = 1 << (width - 1), Fraction(1, 1 << plan.bits)
    for divisor in (one, one + 1, 2 * one - 1, *(random.randrange(one, 2 * one) for _ in range(30))):
        d = Fraction(divisor, one)
        most = (divisor << plan.dividend_bits - below) // one - 1  # less than 2^-below d
        for dividend in (0, 1, most, random.randrange(most + 1)):
            operands = {"dividend": (dividend, plan.dividend_bits - below + 1), "divisor": (divisor, width)}
            (found,), _ = direct.run(small_quotient, operands, {"plan": plan})

            assert abs(Fraction(dividend, 1 << plan.dividend_bits) / d - found * unit) <= plan.error * unit
