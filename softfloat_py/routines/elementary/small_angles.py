"""The arc tangent of a small number, relative to it: of m 2^-d below 2^-SMALL, m a significand.

    atan q = q (1 - q^2 (1/3 - q^2/5 + ...)),    or that divided by pi.

Lost are, in units of the last place of the factor of q, which is 1 at most:

- of q^2, which is cut to as many bits, less than a unit, times 1/3; of the series what it states, times q^2;
  less than a unit of their product; and half a unit of 1/pi.

The product with m has a unit twice as large, so as much is lost there, m being less than 2; and less than a
unit for what is cut from it. Where it has a bit more than are wanted, that is cut too, and a unit is twice as
large again.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.fixed_point import horner, moved
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.two_phases import Approximation
from softfloat_py.routines.language import Bits, constant, field, phase, resize, select, subtract_modulo

SMALL = 3


@dataclass(frozen=True, slots=True)
class SmallAnglePlan:
    """How the arc tangent of a small number is found, with `bits` bits after its leading one, off by at most
    `error` units of the last of them.

    `whole` is 1, or 1/pi, with `factor_bits`; `zeros` are the leading zeros of that.
    """

    bits: int
    factor_bits: int
    whole: int
    zeros: int
    series: Polynomial
    error: int


@cache
def small_angle_plan(bits: int, of_pi: bool) -> SmallAnglePlan:
    """The plan for angles in radians or as parts of pi."""
    zeros = 1 if of_pi else 0
    factor_bits = bits + 2 + zeros
    series_bits = factor_bits - 2 * SMALL + 1
    series = polynomial(power_series.arc_tangent_rest(of_pi), 2 * SMALL, factor_bits, series_bits)
    whole = power_series.reciprocal_of_pi(factor_bits) if of_pi else 1 << factor_bits
    lost = Fraction(1, 3) + series.error / 2 + 1 + Fraction(zeros, 2)
    return SmallAnglePlan(bits, factor_bits, whole, zeros, series, ceil(max(lost + 1, (lost + 1) / 2 + 1)))


def arc_tangent_of_small(
    sign: Bits, significand: Bits, exponent: Bits, distance: Bits, plan: SmallAnglePlan
) -> Approximation:
    """atan of a number of a sign, with a significand and a biased exponent, which lies `distance`, more than
    SMALL, below that of 1.
    """
    phase("polynomial")
    bits, behind, factor_bits = plan.bits, significand.width - 1, plan.factor_bits
    # the square of a number with the largest exponent, and with this one
    largest = moved(significand * significand, factor_bits - 2 * behind - 2 * (SMALL + 1))
    largest = resize(largest, factor_bits - 2 * SMALL)
    most = (largest.width - 1) // 2
    below = subtract_modulo(distance, SMALL + 1, distance.width)
    below = resize(select(below > most, constant(most, below.width), below), most.bit_length())
    square = largest >> (below << 1)
    less = (square * horner(square, plan.series)) >> plan.series.fraction_bits
    number_bits = bits + 1 + plan.zeros
    if plan.whole == 1 << factor_bits:
        product = moved(less * significand, number_bits - factor_bits - behind)
        number = resize(moved(significand, number_bits - behind) - product, bits + 2)
    else:
        factor = resize(plan.whole - less, factor_bits - plan.zeros)
        number = resize(moved(factor * significand, number_bits - factor_bits - behind), bits + 2)
    phase("normalise")
    if field(number, bits + 1, 1):
        number = number >> 1
        exponent_less_one = subtract_modulo(exponent, 1 + plan.zeros, exponent.width)
    else:
        number = resize(number, bits + 1)
        exponent_less_one = subtract_modulo(exponent, 2 + plan.zeros, exponent.width)
    return Approximation(sign, exponent_less_one, number)
