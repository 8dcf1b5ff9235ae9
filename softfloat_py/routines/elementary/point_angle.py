"""The angle of a point: atan2(y, x), in radians, and atan2_pi(y, x), the same divided by pi (IEEE 754-2019,
clause 9.2).

The ratio that `angles` needs is that of the smaller to the larger coordinate, and where the point lies says
what to make of its angle (`turns`). To the right, below a ratio of 2^-SMALL, the result is relative to the
ratio (`small_ratios`).

Tiny ratios, in radians. With q the ratio, below 2^-p, atan q is less than q by a relative q^2 / 3, less than
2^-(2p + 1). A quotient of numbers of p bits that is no boundary of rounding, a number of p + 1 bits, is a
relative 2^-(2p + 1) or more away from one. So the result lies on the same side of every boundary as the
quotient does, which p + 1 bits of it and a sticky bit tell; and just below the quotient where that is exact.
For parts of pi, which are no such quotients, nothing of this kind is needed.

Special operands, by clause 9.2.1 (from memory), the sign of the result being that of y:

    y           x                       result
    zero        positive, or +0         zero, exact
    zero        negative, or -0         pi, or 1
    not zero    zero                    pi/2, or 1/2
    finite      +infinity               zero, exact
    finite      -infinity               pi, or 1
    infinite    finite                  pi/2, or 1/2
    infinite    +infinity               pi/4, or 1/4
    infinite    -infinity               3 pi/4, or 3/4

Parts of pi are exact there, and 1/4 and 3/4 where |y| = |x|. The other results are irrational, and inexact.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.division import quotient_by_digits
from softfloat_py.routines.elementary.angles import angle_of
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.rotations import Ratio
from softfloat_py.routines.elementary.small_ratios import (
    SmallRatioPlan,
    arc_tangent_of_small_ratio,
    from_one,
    is_small,
    small_ratio_plan,
)
from softfloat_py.routines.elementary.turns import TurnPlan, anywhere, operand_bits_of, quarters, turn_plan
from softfloat_py.routines.elementary.two_phases import Approximation, approximated_to
from softfloat_py.routines.language import Bits, constant, field, phase, resize, select, subtract_modulo
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_infinite, is_nan, nan_of_two, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    is_reserved,
    magnitude_of,
    sign_of,
    unpack_nonzero_with,
)


class Point(NamedTuple):
    """The operands as they came."""

    y: Bits
    x: Bits


@dataclass(frozen=True, slots=True)
class Plan:
    """How angles of points are computed with `bits` bits after the leading one, off by at most `error` units
    of the last of them.
    """

    bits: int
    turn: TurnPlan
    small: SmallRatioPlan
    error: int


@cache
def plan_of(bits: int, of_pi: bool, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    turn = turn_plan(bits, operand_bits_of(fmt, options.tables), of_pi, options.tables)
    small = small_ratio_plan(bits, of_pi, options.tables)
    return Plan(bits, turn, small, max(turn.error, small.error))


def atan2(y: Bits, x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The angle of the point (x, y), from -pi to pi. Signals invalid operation (signalling NaN), underflow,
    inexact.
    """
    return angle_of_point(y, x, direction, False, fmt, options)


def atan2_pi(y: Bits, x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The angle of the point (x, y) divided by pi, from -1 to 1. Signals as atan2 does."""
    return angle_of_point(y, x, direction, True, fmt, options)


def angle_of_point(
    y: Bits, x: Bits, direction: Bits, of_pi: bool, fmt: BinaryFormat, options: Options
) -> Bits:
    """The angle of a point, in radians or as a part of pi."""
    phase("unpack")
    special = constant(0, 1)
    if is_reserved(exponent_field(y, fmt), fmt) | is_reserved(exponent_field(x, fmt), fmt):
        phase("special operands")
        if options.special:
            if is_nan(y, fmt) | is_nan(x, fmt):
                return nan_of_two(y, x, fmt, options)
        if lies_along(y, x, fmt, options):
            if sign_of(x, fmt) == 0:
                return zero(sign_of(y, fmt), fmt)
        special = lies_along(y, x, fmt, options) | lies_along(x, y, fmt, options) | is_infinite(y, fmt)
    if special:
        value = special_angle(y, x, of_pi, fmt, options)
    else:
        value = computed(Point(y, x), of_pi, fmt, options)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def lies_along(y: Bits, x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether a point has the direction of the axis of its second coordinate."""
    return counts_as_zero(y, fmt, options) | (is_infinite(x, fmt) & ~is_infinite(y, fmt))


def special_angle(y: Bits, x: Bits, of_pi: bool, fmt: BinaryFormat, options: Options) -> Approximation:
    """The angle of a point on an axis, but not to the right of 0, or with infinite coordinates."""
    sign, bits = sign_of(y, fmt), precision_of(fmt, options, 2).fast
    if lies_along(y, x, fmt, options):
        value = quarters(4, sign, bits, of_pi, fmt)
    else:
        if lies_along(x, y, fmt, options):
            value = quarters(2, sign, bits, of_pi, fmt)
        else:
            value = diagonal(y, x, bits, of_pi, fmt)
    return value


def diagonal(y: Bits, x: Bits, bits: int, of_pi: bool, fmt: BinaryFormat) -> Approximation:
    """The angle of a point whose coordinates have the same magnitude."""
    if sign_of(x, fmt):
        value = quarters(3, sign_of(y, fmt), bits, of_pi, fmt)
    else:
        value = quarters(1, sign_of(y, fmt), bits, of_pi, fmt)
    return value


def computed(point: Point, of_pi: bool, fmt: BinaryFormat, options: Options) -> Approximation:
    """The angle of a point that is not special; exact where it is 1/4 or 3/4."""
    if of_pi:
        if magnitude_of(point.y, fmt) == magnitude_of(point.x, fmt):
            return diagonal(point.y, point.x, precision_of(fmt, options, 2).fast, of_pi, fmt)
    precision = precision_of(fmt, options, 2)
    return approximated_to(precision, kernel, point, plan_of, of_pi, fmt, options, False, None)


def kernel(point: Point, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The angle of a point."""
    phase("unpack")
    y = unpack_nonzero_with(exponent_field(point.y, fmt), point.y, fmt, options)
    x = unpack_nonzero_with(exponent_field(point.x, fmt), point.x, fmt, options)
    steep = is_steep(point, fmt)
    a, b = select(steep, x.significand, y.significand), select(steep, y.significand, x.significand)
    distance = subtract_modulo(x.exponent, y.exponent, x.exponent.width)
    distance = select(steep, subtract_modulo(0, distance, distance.width), distance)
    added = plan.turn.angle.rotation.operand_bits - fmt.precision
    ratio = Ratio(a << added, b << added, distance)
    if is_small(ratio) & ~steep & (sign_of(point.x, fmt) == 0):
        value = relative(sign_of(point.y, fmt), ratio, plan, fmt)
    else:
        angle = angle_of(ratio, plan.turn.angle)
        steep, back = is_steep(point, fmt), sign_of(point.x, fmt)
        value = anywhere(sign_of(point.y, fmt), angle, steep, back, plan.turn, fmt, options)
    return value


def is_steep(point: Point, fmt: BinaryFormat) -> Bits:
    """Whether |y| is more than |x|."""
    return magnitude_of(point.y, fmt) > magnitude_of(point.x, fmt)


def relative(sign: Bits, small: Ratio, plan: Plan, fmt: BinaryFormat) -> Approximation:
    """The arc tangent of a ratio below 2^-SMALL."""
    ratio = from_one(small)
    if plan.turn.of_pi:
        value = arc_tangent_of_small_ratio(sign, ratio, plan.small, fmt)
    else:
        if ratio.distance > fmt.precision:
            value = below_quotient(sign, ratio, plan.bits, fmt)
        else:
            value = arc_tangent_of_small_ratio(sign, ratio, plan.small, fmt)
    return value


def below_quotient(sign: Bits, ratio: Ratio, bits: int, fmt: BinaryFormat) -> Approximation:
    """Less than a ratio by less than it is away from a boundary of rounding below it."""
    phase("quotient")
    added = ratio.denominator.width - fmt.precision
    found = quotient_by_digits(ratio.numerator >> added, ratio.denominator >> added, fmt)
    significand = (found << (bits + 2 - found.width)) - 1
    exponent = subtract_modulo(fmt.bias, ratio.distance, ratio.distance.width)
    if field(significand, bits + 1, 1):
        significand = significand >> 1
        exponent_less_one = subtract_modulo(exponent, 1, exponent.width)
    else:
        significand = resize(significand, bits + 1)
        exponent_less_one = subtract_modulo(exponent, 2, exponent.width)
    return Approximation(sign, exponent_less_one, significand)
