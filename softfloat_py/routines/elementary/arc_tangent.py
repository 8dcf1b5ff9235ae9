"""atan x, in radians (IEEE 754-2019, clause 9.2).

With a leading one on top, x is m 2^e, and the ratio that `angles` needs, at most 1, is m 2^e / 1 or, from |x|
= 1 on, 1 / (m 2^e): then the angle is pi/2 less that. Below 2^-SMALL the result is relative to x
(`small_angles`); above, it is at least atan 2^-SMALL > 2^-(SMALL + 1), so bits + SMALL + 1 fraction bits are
enough.

Where |x| is so large that 1 / |x| is less than pi/2 is away from the boundary of rounding below it, the
result is pi/2, and a little less; where x^2 / 3 is less than 2^-(p + 1), it is x, and a little less. Neither
is computed.

Special operands, by clause 9.2.1 (from memory): atan of either zero is that zero, of an infinity pi/2 with
its sign, inexact.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil
from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import functions
from softfloat_py.routines.elementary.angles import AnglePlan, angle_of, angle_plan
from softfloat_py.routines.elementary.arguments import is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import next_to_argument
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.rotations import Ratio, least_operand_bits
from softfloat_py.routines.elementary.small_angles import (
    SMALL,
    SmallAnglePlan,
    arc_tangent_of_small,
    small_angle_plan,
)
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    constant,
    phase,
    resize,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    sign_of,
    unpack_with_leading_one,
)

MOST_ZEROS = SMALL + 1  # leading zeros of atan 2^-SMALL, with one bit before the point


class Operand(NamedTuple):
    """An operand as it came: one word to be kept, where its parts are three."""

    x: Bits


@dataclass(frozen=True, slots=True)
class Plan:
    """How arc tangents are computed with `bits` bits after the leading one, off by at most `error` units of
    the last of them.
    """

    bits: int
    angle: AnglePlan
    small: SmallAnglePlan
    error: int


@cache
def plan_of(bits: int, of_pi: bool, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    operand_bits = max(fmt.precision, least_operand_bits(options.tables))
    angle = angle_plan(operand_bits, bits + SMALL + 1, of_pi, options.tables)
    small = small_angle_plan(bits, of_pi)
    # half a unit of pi/2; where bits are cut off, a unit is at least twice as large
    error = max(ceil(angle.error + 1), small.error)
    return Plan(bits, angle, small, error)


def atan(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc tangent. Signals invalid operation (signalling NaN), underflow, inexact."""
    phase("unpack")
    exponent = exponent_field(x, fmt)
    bits, exponent_bits = precision_of(fmt, options).fast, signed_exponent_bits(fmt)
    most = fmt.bias + exponent_of_right_angle(fmt)
    if is_outside(x, exponent, least_exponent(fmt), most, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        if exponent >= fmt.bias:
            value = right_angle(sign_of(x, fmt), bits, exponent_bits, fmt)
        else:
            number = unpack_with_leading_one(x, fmt, options)
            value = next_to_argument(number, constant(1, 1), bits, exponent_bits, fmt)
    else:
        value = approximated(arc_tangent, Operand(x), plan_of, False, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def least_exponent(fmt: BinaryFormat) -> int:
    """The biased exponent below which x^2 / 3 is less than 2^-(p + 1)."""
    return fmt.bias - (fmt.precision + 1) // 2


def exponent_of_right_angle(fmt: BinaryFormat) -> int:
    """The exponent from which on 1 / |x| is less than what pi/2 has behind its first p + 1 bits."""
    bits = fmt.precision + 64
    behind = functions.half_pi(bits) & ((1 << (bits - fmt.precision)) - 1)
    return bits - behind.bit_length() + 1


def right_angle(sign: Bits, bits: int, exponent_bits: int, fmt: BinaryFormat) -> Approximation:
    """pi/2, and less than what it has behind its first p + 1 bits less."""
    significand = constant(functions.half_pi(bits + 64) >> 64 | 1, bits + 1)
    return Approximation(sign, constant(fmt.bias - 1, exponent_bits), significand)


def arc_tangent(operand: Operand, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The arc tangent of a number: the kernel."""
    phase("unpack")
    x = unpack_inside(operand.x, exponent_field(operand.x, fmt), least_exponent(fmt), fmt, options)
    width = x.exponent.width
    below = subtract_modulo(fmt.bias, x.exponent, width)  # how far its exponent is below that of 1
    if ~is_one_or_more(operand.x, fmt) & (below > SMALL):
        value = arc_tangent_of_small(x.sign, x.significand, x.exponent, below, plan.small)
    else:
        added = plan.angle.rotation.operand_bits - fmt.precision
        one = constant(fmt.leading_one << added, fmt.precision + added)
        significand = x.significand << added
        if is_one_or_more(operand.x, fmt):
            ratio = Ratio(one, significand, subtract_modulo(x.exponent, fmt.bias, width))
        else:
            ratio = Ratio(significand, one, below)
        angle = angle_of(ratio, plan.angle)
        phase("normalise")
        if is_one_or_more(operand.x, fmt):
            angle = functions.half_pi(plan.angle.fraction_bits) - angle
            zeros = resize(angle < (1 << plan.angle.fraction_bits), MOST_ZEROS.bit_length())
        else:
            angle = resize(angle, angle.width + 1)
            zeros = leading_zeros(angle >> (angle.width - 1 - MOST_ZEROS), options)
        value = floating(sign_of(operand.x, fmt), angle, zeros, plan, fmt)
    return value


def is_one_or_more(x: Bits, fmt: BinaryFormat) -> Bits:
    """Whether |x| is at least 1."""
    return exponent_field(x, fmt) >= fmt.bias


def floating(sign: Bits, angle: Bits, zeros: Bits, plan: Plan, fmt: BinaryFormat) -> Approximation:
    """An angle in fixed point, with leading zeros that are counted, as a result."""
    exponent_less_one = subtract_modulo(fmt.bias - 1, zeros, signed_exponent_bits(fmt))
    significand = shift_left(angle, zeros, angle.width) >> (angle.width - 1 - plan.bits)
    return Approximation(sign, exponent_less_one, significand)
