"""The angle whose tangent is a ratio: the core of all inverse trigonometric functions.

`rotations` leaves atan q = atan c +- atan z, with |z| at most `reach` and below 2^-t. A division gives z, and

    atan z = z - z^3 (1/3 - z^2/5 + z^4/7 - ...),    or that divided by pi,

takes narrow products alone: z^3 has 3 t bits less than z. What is lost, in units of the last of F fraction
bits of the angle, the values of z being the largest that there are:

- what `rotations` states;
- of z what its division states, and less than a unit of its last place for what was cut from the dividend;
- of z^3 / 3: half a unit of z rounded to F - 2 t - 2 fraction bits, times 3 z^2; less than a unit of a square
  cut to F - t - 2 fraction bits, times z; and of a cube cut to F - 2 fraction bits; a third of all that;
- of the series what it states, times z^3;
- less than a unit of z for its last product, and one for cutting the angle, two if it is divided by pi, and
  half a unit of 1/pi, which z makes less than half of the last place.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.options import Tables
from softfloat_py.routines.elementary import functions
from softfloat_py.routines.elementary.fixed_point import horner
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.rotations import (
    SEED_INDEX_BITS,
    Ratio,
    RotationPlan,
    angle_of_index,
    index_bits,
    rotated,
    rotation_plan,
)
from softfloat_py.routines.elementary.small_quotients import (
    SmallQuotientPlan,
    moved,
    small_quotient,
    small_quotient_plan,
)
from softfloat_py.routines.language import Bits, phase, resize


@dataclass(frozen=True, slots=True)
class AnglePlan:
    """How an angle is found with `fraction_bits`, off by at most `error` units of the last of them.

    z has `quotient_bits` fraction bits; the factors of z^3 have those of `narrow_bits`, `square_bits` and
    `cube_bits`. The widths are those that the largest z needs. `part` is 1/pi with `part_bits`, or 0 for
    angles in radians.
    """

    fraction_bits: int
    rotation: RotationPlan
    division: SmallQuotientPlan
    quotient_bits: int
    quotient_width: int
    narrow_bits: int
    narrow_width: int
    square_bits: int
    square_width: int
    cube_bits: int
    series: Polynomial
    part: int
    part_bits: int
    error: Fraction


@cache
def angle_plan(operand_bits: int, fraction_bits: int, of_pi: bool, tables: Tables) -> AnglePlan:
    """The plan for significands of so many bits, and angles in radians or as parts of pi."""
    t = index_bits(fraction_bits, tables)
    division = small_quotient_plan(t, fraction_bits + 1, SEED_INDEX_BITS[tables])
    rotation = rotation_plan(operand_bits, fraction_bits, division.dividend_bits, of_pi, tables)
    unit, last = Fraction(1, 1 << fraction_bits), Fraction(1, 1 << division.bits)
    z = rotation.reach + division.error * last
    quotient_width = int(z / last).bit_length()
    narrow_bits, square_bits, cube_bits = fraction_bits - 2 * t - 2, fraction_bits - t - 2, fraction_bits - 2
    series = polynomial(functions.arc_tangent_rest(False), 2 * t, square_bits, fraction_bits - 3 * t + 1)
    narrow = z + Fraction(1, 2 << narrow_bits)
    narrow_width = int(narrow * 2**narrow_bits).bit_length()
    square_width = int(narrow**2 * 2**square_bits).bit_length()
    cube = (narrow**3 - z**3 + z * Fraction(1, 1 << square_bits) + Fraction(1, 1 << cube_bits)) / 3
    of_series = z**3 * series.error / (1 << series.fraction_bits)
    error = rotation.error + ((division.error + 2) * last + cube + of_series) / unit + 1
    part = 0
    if of_pi:
        part = functions.reciprocal_of_pi(fraction_bits - t)
        error += 2
    return AnglePlan(
        fraction_bits, rotation, division, division.bits, quotient_width, narrow_bits, narrow_width,
        square_bits, square_width, cube_bits, series, part, fraction_bits - t, error,
    )  # fmt: skip


def angle_of(ratio: Ratio, plan: AnglePlan) -> Bits:
    """The arc tangent of a ratio, at most pi/4, as a fraction: in radians or divided by pi."""
    left = rotated(ratio, plan.rotation)
    z = small_quotient(left.dividend, left.divisor, plan.division)
    rest = small_angle(resize(z, plan.quotient_width), plan)
    phase("add")
    angle = angle_of_index(left.place, plan.rotation)
    if left.negative:
        angle = angle - rest
    else:
        angle = resize(angle + rest, plan.fraction_bits)
    return angle


def small_angle(z: Bits, plan: AnglePlan) -> Bits:
    """atan z, or that divided by pi, with the fraction bits of an angle."""
    phase("polynomial")
    z_bits, series_bits = plan.quotient_bits, plan.series.fraction_bits
    places = z_bits - plan.narrow_bits
    narrow = resize((z + (1 << places >> 1)) >> places, plan.narrow_width)
    square = resize((narrow * narrow) >> (2 * plan.narrow_bits - plan.square_bits), plan.square_width)
    cube = (square * narrow) >> (plan.square_bits + plan.narrow_bits - plan.cube_bits)
    less = moved(cube * horner(square, plan.series), z_bits - plan.cube_bits - series_bits)
    angle = resize(z - less, z.width) >> (z_bits - plan.fraction_bits)
    if plan.part:
        angle = (angle * plan.part) >> plan.part_bits
    return angle
