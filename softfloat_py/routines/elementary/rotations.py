"""A quotient made small, and the angle by which its arc tangent becomes less.

Let q = a / b 2^-d be at most 1, a and b significands. For any c, by the addition theorem of the tangent,

    atan q = atan c + atan z,    z = (q - c) / (1 + c q) = (a 2^-d - c b) / (b + c a 2^-d).

With tables c is a multiple j 2^-t that is next to q, and atan c an entry. To find j, the leading bits of a
2^-d are multiplied by a short reciprocal of b; so j need not be the nearest one, but |q - c| is at most
`reach`, which is computed, and so is |z|.

Without tables there are t rotations: for k = 1 to t, where q >= 2^-k, it becomes z for c = 2^-k, which takes
shifts and additions alone. What is left is less than 2^-k: of 1 it is 1/3, and then, of what is less than
2^(1 - k), less than 2^-k / (1 + 2^(1 - 2k)).

Where d is more than t + 1, c is 0 and z = q. Up to there, a 2^-d is a whole number with t + 1 bits more than
a; b + c a 2^-d has as many more as c has, and a rotation by atan 2^-k adds k bits. So nothing is lost but
what is cut from a long divisor, and then z is off by half of 2^-F at most; and from a dividend by dividend
bits of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from softfloat_py.options import Tables
from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.fixed_point import moved
from softfloat_py.routines.elementary.quotients import ReciprocalPlan, largest_error, reciprocal_plan
from softfloat_py.routines.language import Bits, constant, field, look_up, phase, resize, select, unrolled
from softfloat_py.routines.tables import Table

INDEX_BITS = {Tables.NONE: 4, Tables.SMALL: 6, Tables.LARGE: 8}
SEED_INDEX_BITS = {Tables.NONE: 0, Tables.SMALL: 7, Tables.LARGE: 9}  # of the table of reciprocals
LEADING_BITS = 5  # of a 2^-d, beyond those of j


class Ratio(NamedTuple):
    """numerator / denominator 2^-distance, at most 1: two significands of one width, their leading ones on
    top.
    """

    numerator: Bits
    denominator: Bits
    distance: Bits


class Rotated(NamedTuple):
    """atan q = atan c + atan z, or atan c - atan z where `negative` is set; z = dividend / divisor.

    `place` stands for c. The dividend has fraction bits as the plan says; the divisor has its leading one on
    top, before the point.
    """

    place: Bits
    negative: Bits
    dividend: Bits
    divisor: Bits


@dataclass(frozen=True, slots=True)
class RotationPlan:
    """How ratios of significands of `operand_bits` are made less than `reach`, at most 2^-index_bits, and
    angles found with the fraction bits of `angles`, off by at most `error` units of the last of them.

    `angles` are those of the numbers c, each of which is a power of two where there is no `reciprocal`.
    `numerator_bits` are the fraction bits of a 2^-d, `divisor_bits` those that are kept of a divisor below 4
    without its last `divisor_cut` ones, `dividend_bits` those of the dividend.
    """

    index_bits: int
    operand_bits: int
    reciprocal: ReciprocalPlan | None
    angles: Table
    numerator_bits: int
    divisor_bits: int
    divisor_cut: int
    dividend_bits: int
    reach: Fraction
    error: Fraction


def index_bits(fraction_bits: int, tables: Tables) -> int:
    """t; no more than leave bits of z^3, where angles have few bits."""
    return min(INDEX_BITS[tables], fraction_bits // 4)


def least_operand_bits(tables: Tables) -> int:
    """How many bits significands must have at least: those that are looked at."""
    return max(LEADING_BITS, SEED_INDEX_BITS[tables] + 1)


@cache
def rotation_plan(
    operand_bits: int, fraction_bits: int, dividend_bits: int, of_pi: bool, tables: Tables
) -> RotationPlan:
    """The plan for significands of so many bits, and angles in radians or as parts of pi."""
    t = index_bits(fraction_bits, tables)
    unit = Fraction(1, 1 << t)
    numerator_bits = operand_bits + t
    if tables is Tables.NONE:
        tangents = [Fraction(1, 1 << k) for k in range(1, t + 1)]
        numerator_bits += t * (t + 1) // 2
        divisor_bits = numerator_bits
        reciprocal, reach, error = None, unit, Fraction(t, 2)
    else:
        tangents = [j * unit for j in range((1 << t) + 1)]
        divisor_bits = numerator_bits + t
        reciprocal = reciprocal_plan(1, SEED_INDEX_BITS[tables])
        inverse = largest_error(reciprocal.seed.entries, reciprocal.index_bits, reciprocal.seed_bits)
        reach = unit / 2 + inverse + Fraction(1, 1 << (t + LEADING_BITS - 1))
        error = Fraction(1, 2)
    assert reach <= unit
    kept = min(divisor_bits, fraction_bits - t + 1)
    if kept < divisor_bits:
        error += Fraction(1, 2)
    entries = tuple(power_series.arc_tangent(tangent, of_pi, fraction_bits) for tangent in tangents)
    angles = Table(entries, fraction_bits, name=f"arc_tangents_{fraction_bits}{'_of_pi' if of_pi else ''}")
    return RotationPlan(
        t, operand_bits, reciprocal, angles, numerator_bits, kept, divisor_bits - kept, dividend_bits, reach,
        error,
    )  # fmt: skip


def rotated(ratio: Ratio, plan: RotationPlan) -> Rotated:
    """What is left of a ratio."""
    phase("rotate")
    t, behind = plan.index_bits, plan.operand_bits - 1
    dividend_width, divisor_width = plan.dividend_bits - t + 2, plan.divisor_bits + 2
    if ratio.distance > t + 1:
        index, negative = constant(0, t + 1), constant(0, 1)
        divisor = resize(moved(ratio.denominator, divisor_width - 1 - behind), divisor_width)
        # as far as its place for a distance of t, or to nothing
        dividend = resize(moved(ratio.numerator, plan.dividend_bits - t - behind), dividend_width)
        distance = ratio.distance - t
        most = min(dividend_width, 1 << distance.width) - 1
        distance = resize(
            select(distance > most, constant(most, distance.width), distance), most.bit_length()
        )
        dividend = dividend >> distance
    else:
        if plan.reciprocal is None:
            index, negative, exact, divisor = rotated_by_steps(ratio, plan)
        else:
            index, negative, exact, divisor = rotated_by_table(ratio, plan.reciprocal, plan)
        places = plan.dividend_bits - plan.numerator_bits
        if field(divisor, divisor_width - 1, 1):
            dividend = resize(moved(exact, places - 1), dividend_width)
        else:
            dividend = resize(moved(exact, places), dividend_width)
            divisor = resize(divisor << 1, divisor_width)
    return Rotated(index, negative, dividend, divisor)


def numerator_of(ratio: Ratio, plan: RotationPlan) -> Bits:
    """a 2^-d, where d is t + 1 at most."""
    raised = ratio.numerator << (plan.numerator_bits - plan.operand_bits + 1)
    return raised >> resize(ratio.distance, (plan.index_bits + 1).bit_length())


def rotated_by_table(
    ratio: Ratio, reciprocal: ReciprocalPlan, plan: RotationPlan
) -> tuple[Bits, Bits, Bits, Bits]:
    """The index, whether z is negative, its dividend and its divisor."""
    t, k = plan.index_bits, reciprocal.index_bits
    a, b = numerator_of(ratio, plan), ratio.denominator
    inverse = look_up(reciprocal.seed, field(b, plan.operand_bits - 1 - k, k))
    estimate = (a >> (a.width - t - LEADING_BITS)) * inverse
    places = LEADING_BITS - 1 + reciprocal.seed_bits  # behind t bits, to which it is rounded
    j = resize((estimate + (1 << (places - 1))) >> places, t + 1)
    product = (b * j) << 1
    negative = a < product
    if negative:
        dividend = resize(product - a, a.width - t + 1)
    else:
        dividend = resize(a - product, a.width - t + 1)
    divisor = ((b << (2 * t + 1)) + a * j) >> plan.divisor_cut
    return j, negative, dividend, resize(divisor, plan.divisor_bits + 2)


def rotated_by_steps(ratio: Ratio, plan: RotationPlan) -> tuple[Bits, Bits, Bits, Bits]:
    """The index, of a bit a rotation, the first one lowest; and so on."""
    a = numerator_of(ratio, plan)
    b = ratio.denominator << (plan.numerator_bits - plan.operand_bits + 1)
    b = resize(b, b.width + 1)
    index = constant(0, plan.index_bits + 1)
    for k in unrolled(1, plan.index_bits + 1):
        part = b >> k
        if a >= part:
            b = resize(b + (a >> k), b.width)
            a = resize(a - part, b.width - k)
            index = index | (1 << (k - 1))
        else:
            a = resize(a, b.width - k)
    return index, constant(0, 1), a, b >> plan.divisor_cut


def angle_of_index(index: Bits, plan: RotationPlan) -> Bits:
    """atan c."""
    if plan.reciprocal is not None:
        return look_up(plan.angles, index)
    angle = constant(0, plan.angles.width)
    for k in unrolled(plan.index_bits):
        if field(index, k, 1):
            angle = resize(angle + plan.angles.entries[k], angle.width)
    return angle
