"""The arc tangent of what rotations leave: of a number z of fixed point, below 2^-t.

    atan z = z - z^3 (1/3 - z^2/5 + z^4/7 - ...),    or that divided by pi.

z^3 has 3 t bits less than z, so narrow products do, and upper parts of them. What is lost, in units of the
last of F fraction bits of the angle, the values of z being the largest that there are:

- half a unit of z rounded to F - 2 t - 2 fraction bits, times z^2; what is lost of its square with F - t - 1
  fraction bits, times z / 3; and of its cube with F - 1 fraction bits, a third;
- of the series what it states, times z^3;
- of the last product, in units of z; and less than a unit for cutting the angle;
- as a part of pi, what is lost of the product with 1/pi, and half a unit of that, which is less than half a
  unit of the angle.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.fixed_point import horner, moved
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.upper_products import most_lost, upper_product
from softfloat_py.routines.language import Bits, constant, phase, resize, with_point


@dataclass(frozen=True, slots=True)
class RemainingPlan:
    """How atan z is found for a z of `tangent_bits` fraction bits, with the angle's, off by at most `error`
    units of the last of these, if z is exact.

    The factors have fraction bits as stated, and the widths that the largest z needs. `part` is 1/pi with
    `part_bits`, or 0 for an angle in radians.
    """

    fraction_bits: int
    tangent_bits: int
    narrow_bits: int
    narrow_width: int
    square_bits: int
    square_width: int
    cube_bits: int
    cube_width: int
    series: Polynomial
    part: int
    part_bits: int
    error: Fraction


@cache
def remaining_plan(
    fraction_bits: int, tangent_bits: int, largest: Fraction, below: int, of_pi: bool
) -> RemainingPlan:
    """The plan for numbers z up to the largest, which is 2^-below or less."""
    narrow_bits, square_bits = fraction_bits - 2 * below - 2, fraction_bits - below - 2
    cube_bits, part_bits = fraction_bits - 2, fraction_bits - below
    narrow = largest + Fraction(1, 2 << narrow_bits)
    narrow_width, square_width, cube_width = (
        int(narrow**power * 2**bits).bit_length()
        for power, bits in ((1, narrow_bits), (2, square_bits), (3, cube_bits))
    )
    series = polynomial(
        power_series.arc_tangent_rest(False), 2 * below, square_bits, fraction_bits - 3 * below + 1
    )
    lost = (narrow**3 - largest**3) / 3 + largest**3 * series.error / (1 << series.fraction_bits)
    lost += largest / 3 / 2**square_bits + Fraction(1, 3 << cube_bits) + Fraction(1, 1 << tangent_bits)
    error = lost * 2**fraction_bits + 1
    part = 0
    if of_pi:
        part = power_series.reciprocal_of_pi(part_bits)
        error += most_lost(fraction_bits - below) + Fraction(1, 2)
    return RemainingPlan(
        fraction_bits, tangent_bits, narrow_bits, narrow_width, square_bits, square_width, cube_bits,
        cube_width, series, part, part_bits, error,
    )  # fmt: skip


def remaining_angle(z: Bits, plan: RemainingPlan) -> Bits:
    """atan z, or that divided by pi."""
    phase("polynomial")
    places = plan.tangent_bits - plan.narrow_bits
    narrow = resize((z + (1 << places >> 1)) >> places, plan.narrow_width)
    square = resize((narrow * narrow) >> (2 * plan.narrow_bits - plan.square_bits), plan.square_width)
    square = with_point(square, plan.square_bits)
    places = plan.narrow_bits + plan.square_bits - plan.cube_bits
    cube = resize((square * narrow) >> places, plan.cube_width)
    less = moved(
        cube * horner(square, plan.series), plan.tangent_bits - plan.cube_bits - plan.series.fraction_bits
    )
    angle = resize(z - less, z.width) >> (plan.tangent_bits - plan.fraction_bits)
    angle = with_point(angle, plan.fraction_bits)
    if plan.part:
        angle = upper_product(constant(plan.part, plan.part_bits - 1), angle, plan.part_bits, angle.width)
    return angle
