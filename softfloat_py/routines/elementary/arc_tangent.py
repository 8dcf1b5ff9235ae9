"""atan x, in radians, and atan_pi x, the same divided by pi (IEEE 754-2019, clause 9.2).

With a leading one on top, x is m 2^e, and the ratio that `angles` needs, at most 1, is m 2^e / 1 or, from |x|
= 1 on, 1 / (m 2^e): then the angle is steep (`turns`). Below 2^-SMALL the result is relative to x
(`small_angles`). Where x^2 / 3 is less than 2^-(p + 1), atan x is x, and a little less, and is not computed.

Special operands, by clause 9.2.1 (from memory):

    x           atan x          atan_pi x
    +0, -0      x               x
    1, -1       inexact         1/4, -1/4
    infinite    pi/2, -pi/2     1/2, -1/2

The other results are irrational, and inexact.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary.angles import angle_of
from softfloat_py.routines.elementary.arguments import is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import next_to_argument
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.rotations import Ratio
from softfloat_py.routines.elementary.small_angles import (
    SMALL,
    SmallAnglePlan,
    arc_tangent_of_small,
    small_angle_plan,
)
from softfloat_py.routines.elementary.turns import (
    TurnPlan,
    least_operand,
    operand_bits_of,
    quarters,
    to_the_right,
    turn_plan,
)
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits, constant, phase, subtract_modulo
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    magnitude_of,
    sign_of,
    unpack_with_leading_one,
)


@dataclass(frozen=True, slots=True)
class Plan:
    """How arc tangents are computed with `bits` bits after the leading one, off by at most `error` units of
    the last of them, for operands with exponents of `least_exponent` or more.
    """

    bits: int
    least_exponent: int
    turn: TurnPlan
    small: SmallAnglePlan
    error: int


@cache
def plan_of(bits: int, of_pi: bool, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    turn = turn_plan(bits, operand_bits_of(fmt, options.tables), of_pi, options.tables)
    small = small_angle_plan(bits, of_pi)
    return Plan(bits, least_operand(of_pi, fmt), turn, small, max(turn.error, small.error))


def atan(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc tangent. Signals invalid operation (signalling NaN), underflow, inexact."""
    return arc_tangent(x, direction, False, fmt, options)


def atan_pi(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc tangent divided by pi. Signals invalid operation (signalling NaN), underflow, inexact."""
    return arc_tangent(x, direction, True, fmt, options)


def arc_tangent(x: Bits, direction: Bits, of_pi: bool, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc tangent, in radians or as a part of pi."""
    phase("unpack")
    exponent, least = exponent_field(x, fmt), least_operand(of_pi, fmt)
    bits = precision_of(fmt, options).fast
    if is_outside(x, exponent, least, fmt.largest_exponent_field + 1, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        if exponent >= fmt.bias:
            value = quarters(2, sign_of(x, fmt), bits, of_pi, fmt)
        else:
            number = unpack_with_leading_one(x, fmt, options)
            value = next_to_argument(number, constant(1, 1), bits, signed_exponent_bits(fmt), fmt)
    else:
        value = computed(x, bits, of_pi, fmt, options)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def computed(x: Bits, bits: int, of_pi: bool, fmt: BinaryFormat, options: Options) -> Approximation:
    """The arc tangent of a number that is not special; exact where it is 1/4."""
    if of_pi:
        if magnitude_of(x, fmt) == fmt.one:
            return quarters(1, sign_of(x, fmt), bits, of_pi, fmt)
    return approximated(kernel, (x,), plan_of, of_pi, fmt, options, False)


def kernel(operands: tuple[Bits, ...], plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The arc tangent of a number."""
    phase("unpack")
    x = unpack_inside(operands[0], exponent_field(operands[0], fmt), plan.least_exponent, fmt, options)
    width = x.exponent.width
    below = subtract_modulo(fmt.bias, x.exponent, width)  # how far its exponent is below that of 1
    if ~is_steep(operands[0], fmt) & (below > SMALL):
        value = arc_tangent_of_small(x.sign, x.significand, x.exponent, below, plan.small)
    else:
        angle_plan = plan.turn.angle
        added = angle_plan.rotation.operand_bits - fmt.precision
        one = constant(fmt.leading_one << added, fmt.precision + added)
        significand = x.significand << added
        if is_steep(operands[0], fmt):
            ratio = Ratio(one, significand, subtract_modulo(x.exponent, fmt.bias, width))
        else:
            ratio = Ratio(significand, one, below)
        angle = angle_of(ratio, angle_plan)
        steep = is_steep(operands[0], fmt)
        value = to_the_right(sign_of(operands[0], fmt), angle, steep, plan.turn, fmt, options)
    return value


def is_steep(x: Bits, fmt: BinaryFormat) -> Bits:
    """Whether |x| is at least 1."""
    return exponent_field(x, fmt) >= fmt.bias
