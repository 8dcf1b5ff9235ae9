"""Odd functions of small arguments: x P(x^2), relative to the result however small x is.

P(0) is 1, or less, and |x P(x^2)| rises with |x|. The significand of x is exact, so the relative error of
the result is that of P. With B bits after its leading one, and P >= L to B fraction bits, this loses, in
units of the last of them,

- 2 / L times what P loses, for the significand of x is at most 2 / L times the leading one of the product: P
  loses what it states, and a unit of x^2, which is cut, times its slope;
- in the product less than a unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.formats import BinaryFormat
from softfloat_py.routines.elementary.arguments import in_fixed_point
from softfloat_py.routines.elementary.fixed_point import horner, moved
from softfloat_py.routines.elementary.leading_ones import with_leading_one_among
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.reals import exponent_of
from softfloat_py.routines.elementary.series import Series, economised
from softfloat_py.routines.elementary.two_phases import Approximation
from softfloat_py.routines.language import Bits, phase, resize, subtract_modulo
from softfloat_py.routines.unpacking import Unpacked

FEWER = 4  # bits that the square has less than the result: it is no more than 2^-below squared


@dataclass(frozen=True, slots=True)
class OddPlan:
    """How x P(x^2) is computed for |x| < 2^-below, with `bits` bits after its leading one, off by `error`
    units of the last of them at most.

    x^2 has `square_bits` fraction bits. For a significand from 1 to below 2 the product is from 2^low to
    below 2^(low + places + 1).
    """

    bits: int
    below: int
    square_bits: int
    series: Polynomial
    low: int
    places: int
    error: Fraction


@cache
def odd_plan(series: Series, below: int, bits: int, precision: int) -> OddPlan:
    """The plan for a function with this P, of arguments of a precision."""
    square_bits = min(bits, bits - FEWER + 2 * below)
    in_fixed = polynomial(series, 2 * below, square_bits, bits)
    near = economised(series, 2 * below, bits + 1).coefficients
    end = Fraction(1, 1 << 2 * below)
    slope = sum((k * abs(c) * end ** (k - 1) for k, c in enumerate(near) if k), Fraction(0))
    lost = in_fixed.error + slope * 2 ** (bits - square_bits)
    # the product is least for a significand of 1, most for the largest one
    least, most = _value(near, end / 4), 2 * (1 - Fraction(1, 1 << precision)) * _value(near, end)
    low = exponent_of(least - 2 * lost / 2**bits)
    high = exponent_of(most + 2 * lost / 2**bits)
    error = 2 * lost / min(Fraction(1), _value(near, Fraction(0)), _value(near, end)) + 1
    return OddPlan(bits, below, square_bits, in_fixed, low, high - low, error)


def _value(coefficients: tuple[Fraction, ...], z: Fraction) -> Fraction:
    return sum((c * z**k for k, c in enumerate(coefficients)), Fraction(0))


def odd_function(
    x: Unpacked, distance: Bits, most: int, exponent_bits: int, plan: OddPlan, fmt: BinaryFormat
) -> Approximation:
    """x P(x^2), the exponent of x being `distance`, of `most` at the most, below the largest of small ones.
    The exponent of the result has `exponent_bits`.
    """
    phase("near 0")
    squared, doubled = x.significand * x.significand, distance << 1
    square = in_fixed_point(squared, doubled, 2 * most, plan.square_bits, 2 * plan.below)
    phase("polynomial")
    product = x.significand * horner(square, plan.series)
    phase("normalise")
    kept = resize(moved(product, -fmt.trailing_bits - plan.low), plan.bits + 1 + plan.places)
    first = (fmt.bias - plan.below - 2 + plan.low) % (1 << exponent_bits)
    exponent_less_one = subtract_modulo(first, distance, exponent_bits)
    significand, exponent_less_one = with_leading_one_among(kept, plan.places, exponent_less_one)
    return Approximation(x.sign, exponent_less_one, significand)
