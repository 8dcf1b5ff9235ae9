"""The quotient of two fixed-point numbers that is known to be small, in a few digits of many bits.

Let d, from 1 to below 2, be the divisor, R its reciprocal with 0 <= 1 - d R <= e (`quotients.reciprocal`),
and n the dividend, less than 2^-below d. R is below 1, for no seed is exact and a Newton step leaves it below
1 / d. Long division takes digits of b bits from R: what is left of n, cut to b + 2 bits behind its last
digit, times R, cut to a whole digit, is the next one. Nothing makes it too large, so what is left is never
negative. It is less than a digit's unit times k d, where k is

- 1/4 for what was cut from n, since d is 1 or more;
- 1 for what was cut from the product;
- e 2^b times the k of the digit before, which is 1 at first.

The last k is what the quotient is too small by, in units of its last place.

A digit weighs 2^b less than the one before. Of d times it, only bits count that are not far below the last
place: so the products become shorter. What is left has two bits behind the last place of the quotient. It is
too large, each time, by less than one unit for what is cut from the product, and by k / 2 for what is cut
from d: so much is the quotient too large.

Long division is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.routines.elementary.fixed_point import moved
from softfloat_py.routines.elementary.quotients import ReciprocalPlan, reciprocal, reciprocal_within
from softfloat_py.routines.language import Bits, phase, resize, unrolled

MOST_DIGIT_BITS = 12  # with which no factor but the divisor has more than 16
MOST_SHARE = Fraction(11, 32)  # of the k before, in k, which is 2 if it is 3/8
GUARD = 2  # bits of what is left, behind the last place of the quotient


@dataclass(frozen=True, slots=True)
class SmallQuotientPlan:
    """How a quotient less than 2^-below is found, with `bits` fraction bits; it is off by at most `error`
    units of the last of them.
    """

    below: int
    digit_bits: int
    digits: int
    reciprocal: ReciprocalPlan
    error: Fraction

    @property
    def bits(self) -> int:
        """Fraction bits of the quotient."""
        return self.below + self.digit_bits * self.digits

    @property
    def dividend_bits(self) -> int:
        """Fraction bits of the dividend."""
        return self.bits + GUARD


@cache
def small_quotient_plan(below: int, bits: int, index_bits: int) -> SmallQuotientPlan:
    """The plan for a quotient less than 2^-below with `bits` fraction bits or a few more; `index_bits` are
    those of the table of reciprocals.
    """
    digits = -(-(bits - below) // MOST_DIGIT_BITS)
    digit_bits = -(-(bits - below) // digits)
    inverse = reciprocal_within(MOST_SHARE / 2**digit_bits, digit_bits + 4, index_bits)
    left, too_large = Fraction(1), Fraction(0)
    for number in range(digits):
        left = Fraction(5, 4) + inverse.error * (2**digit_bits * left + too_large)
        if number < digits - 1:
            too_large += (1 + left / 2) / 2**GUARD
    assert left < 2, "a digit has one bit more than are counted of it"
    return SmallQuotientPlan(below, digit_bits, digits, inverse, max(left, too_large))


def small_quotient(dividend: Bits, divisor: Bits, plan: SmallQuotientPlan) -> Bits:
    """dividend / divisor, both with fraction bits as the plan says, but the divisor with its leading one on
    top, before the point, and any number of bits behind it.
    """
    phase("quotient")
    b, behind = plan.digit_bits, divisor.width - 1
    inverse_bits = plan.reciprocal.steps[-1]
    inverse = resize(reciprocal(divisor, plan.reciprocal), inverse_bits)
    left, left_bits = dividend, plan.dividend_bits
    for number in unrolled(plan.digits):
        weight = plan.below + b * number  # 2^-weight bounds what the quotient lacks
        left = resize(left, left_bits - weight + 2)
        digit = ((left >> (left_bits - weight - b - 2)) * inverse) >> (inverse_bits + 2)
        digit = resize(digit, b + 1)
        if number == 0:
            found = digit
        else:
            found = resize((found << b) + digit, b * (number + 1) + 1)
        if number < plan.digits - 1:
            weight = weight + b
            kept = min(left_bits - weight + b + 1, behind)  # fraction bits of the divisor
            product = (divisor >> (behind - kept)) * digit
            left = left - moved(product, left_bits - weight - kept)
    return found
