"""The angle whose tangent is a ratio: the core of all inverse trigonometric functions.

`rotations` leaves atan q = atan c +- atan z, a division gives z, and `remaining_angles` its arc tangent. All
say how much they are off; a unit of the last place of z is added for what is cut from its dividend.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.options import Tables
from softfloat_py.routines.elementary.remaining_angles import RemainingPlan, remaining_angle, remaining_plan
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
    small_quotient,
    small_quotient_plan,
)
from softfloat_py.routines.language import Bits, phase, resize, with_point


@dataclass(frozen=True, slots=True)
class AnglePlan:
    """How an angle is found with `fraction_bits`, off by at most `error` units of the last of them; z has
    `tangent_width` bits.
    """

    fraction_bits: int
    rotation: RotationPlan
    division: SmallQuotientPlan
    tangent_width: int
    remaining: RemainingPlan
    error: Fraction


@cache
def angle_plan(operand_bits: int, fraction_bits: int, of_pi: bool, tables: Tables) -> AnglePlan:
    """The plan for significands of so many bits, and angles in radians or as parts of pi."""
    t = index_bits(fraction_bits, tables)
    division = small_quotient_plan(t, fraction_bits + 1, SEED_INDEX_BITS[tables])
    rotation = rotation_plan(operand_bits, fraction_bits, division.dividend_bits, of_pi, tables)
    off = (division.error + 1) / 2**division.bits
    largest = rotation.reach + off
    remaining = remaining_plan(fraction_bits, division.bits, largest, t, of_pi)
    error = rotation.error + off * 2**fraction_bits + remaining.error
    tangent_width = int(largest * 2**division.bits).bit_length()
    return AnglePlan(fraction_bits, rotation, division, tangent_width, remaining, error)


def angle_of(ratio: Ratio, plan: AnglePlan) -> Bits:
    """The arc tangent of a ratio, at most pi/4, as a fraction: in radians or divided by pi."""
    left = rotated(ratio, plan.rotation)
    quotient = small_quotient(left.dividend, left.divisor, plan.division)
    z = with_point(resize(quotient, plan.tangent_width), plan.division.bits)
    rest = remaining_angle(z, plan.remaining)
    phase("add")
    angle = angle_of_index(left.place, plan.rotation)
    if left.negative:
        angle = with_point(angle - rest, plan.fraction_bits)
    else:
        angle = with_point(resize(angle + rest, plan.fraction_bits), plan.fraction_bits)
    return angle
