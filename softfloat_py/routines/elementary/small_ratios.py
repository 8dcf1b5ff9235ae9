"""The arc tangent of a small ratio, relative to it: a quotient of its significands, and `small_angles`.

With d the distance, a ratio below 2^-SMALL is 2^-d times a quotient from 1 to below 2, if the numerator is
doubled where it is the smaller one. Half of that is found with bits + 4 fraction bits. Of the number itself,
below 2, its error is twice as much; in units of the result, which are 2^-(bits + 1) where it is below 1, that
is a fourth of what it is in units of its own last place: what its division states, and less than one for
what is cut from the numerator.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Tables
from softfloat_py.routines.elementary.fixed_point import moved
from softfloat_py.routines.elementary.rotations import SEED_INDEX_BITS, Ratio
from softfloat_py.routines.elementary.small_angles import (
    SMALL,
    SmallAnglePlan,
    arc_tangent_of_small,
    small_angle_plan,
)
from softfloat_py.routines.elementary.small_quotients import (
    SmallQuotientPlan,
    small_quotient,
    small_quotient_plan,
)
from softfloat_py.routines.elementary.two_phases import Approximation
from softfloat_py.routines.language import Bits, resize, select, subtract_modulo


@dataclass(frozen=True, slots=True)
class SmallRatioPlan:
    """How the arc tangent of a small ratio is found, off by at most `error` units of its last place."""

    division: SmallQuotientPlan
    angle: SmallAnglePlan
    error: int


@cache
def small_ratio_plan(bits: int, of_pi: bool, tables: Tables) -> SmallRatioPlan:
    """The plan for so many bits after the leading one."""
    division = small_quotient_plan(0, bits + 4, SEED_INDEX_BITS[tables])
    angle = small_angle_plan(bits, of_pi)
    return SmallRatioPlan(division, angle, angle.error + ceil((division.error + 1) / 4))


def is_small(ratio: Ratio) -> Bits:
    """Whether a ratio is below 2^-SMALL."""
    less = ratio.numerator < ratio.denominator
    return (ratio.distance > SMALL) | (ratio.distance == SMALL) & less


def from_one(ratio: Ratio) -> Ratio:
    """The same ratio with a numerator from the denominator to below twice it."""
    less = ratio.numerator < ratio.denominator
    numerator = select(less, ratio.numerator << 1, ratio.numerator)
    return Ratio(numerator, ratio.denominator, resize(ratio.distance + less, ratio.distance.width))


def arc_tangent_of_small_ratio(
    sign: Bits, ratio: Ratio, plan: SmallRatioPlan, fmt: BinaryFormat
) -> Approximation:
    """The arc tangent of a ratio that `from_one` delivers, or that divided by pi."""
    half = moved(ratio.numerator, plan.division.dividend_bits - ratio.denominator.width)
    quotient = resize(small_quotient(half, ratio.denominator, plan.division), plan.division.bits)
    exponent = subtract_modulo(fmt.bias, ratio.distance, ratio.distance.width)
    return arc_tangent_of_small(sign, quotient, exponent, ratio.distance, plan.angle)
