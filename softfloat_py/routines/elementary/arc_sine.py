"""asin x and acos x, in radians, and asin_pi x and acos_pi x, the same divided by pi (IEEE 754-2019, clause
9.2).

asin x is the angle of a point of the unit circle whose upper coordinate is x, acos x that of one whose
coordinate to the right is x (`unit_circle`, `angles`, `turns`). Relative to what is small, and so computed in
other ways, is asin x below 2^-SMALL (`odd_functions`), and acos x where x is so near to 1 that the ratio is
below 2^-SMALL (`small_ratios`).

asin x is less than x + x^3 / 5 for x from 0 to 1/2. Where x^2 / 5 is less than 2^-(p + 1), it is x, and a
little more than x, but less than the boundary of rounding above it, and is not computed.

Special operands, by clause 9.2.1 (from memory):

    x           asin x          asin_pi x       acos x          acos_pi x
    +0, -0      x               x               pi/2            1/2
    1           pi/2            1/2             +0              +0
    -1          -pi/2           -1/2            pi              1

Beyond 1 the operation is invalid, infinities included. The other results are irrational or, as parts of pi,
1/6, 1/3 and the like: all are inexact.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.angles import angle_of
from softfloat_py.routines.elementary.arguments import farthest_below, is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import next_to_argument
from softfloat_py.routines.elementary.odd_functions import OddPlan, odd_function, odd_plan
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.small_angles import SMALL
from softfloat_py.routines.elementary.small_ratios import (
    SmallRatioPlan,
    arc_tangent_of_small_ratio,
    from_one,
    is_small,
    small_ratio_plan,
)
from softfloat_py.routines.elementary.turns import (
    TurnPlan,
    anywhere,
    fraction_bits_of,
    least_operand,
    quarters,
    to_the_right,
    turn_plan,
)
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.elementary.unit_circle import SPARE, on_unit_circle
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits, constant, field, phase, subtract_modulo
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, signal_invalid_operation, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    magnitude_of,
    sign_of,
    unpack_with_leading_one,
)

SPARE_OF_SMALL = 2  # bits more of asin x for a small x, lest it be what is less exact


@dataclass(frozen=True, slots=True)
class SinePlan:
    """How asin is computed with `bits` bits after the leading one, off by at most `error` units of the last
    of them.
    """

    bits: int
    least_exponent: int
    turn: TurnPlan
    small: OddPlan
    error: int


@dataclass(frozen=True, slots=True)
class CosinePlan:
    """The same for acos."""

    bits: int
    turn: TurnPlan
    small: SmallRatioPlan
    error: int


def circle_plan(bits: int, of_pi: bool, options: Options) -> TurnPlan:
    """The plan for angles of points of the unit circle."""
    return turn_plan(bits, fraction_bits_of(bits, of_pi) + SPARE, of_pi, options.tables)


@cache
def sine_plan_of(bits: int, of_pi: bool, fmt: BinaryFormat, options: Options) -> SinePlan:
    """The plan of asin for a number of bits."""
    turn = circle_plan(bits, of_pi, options)
    small = odd_plan(power_series.arc_sine(of_pi), SMALL, bits + SPARE_OF_SMALL, fmt.precision)
    error = max(turn.error + 1, ceil(small.error / 2**SPARE_OF_SMALL + 1))
    return SinePlan(bits, least_operand(of_pi, fmt), turn, small, error)


@cache
def cosine_plan_of(bits: int, of_pi: bool, fmt: BinaryFormat, options: Options) -> CosinePlan:
    """The plan of acos for a number of bits."""
    turn, small = circle_plan(bits, of_pi, options), small_ratio_plan(bits, of_pi, options.tables)
    return CosinePlan(bits, turn, small, max(turn.error, small.error) + 1)


def asin(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc sine. Signals invalid operation (signalling NaN, |x| > 1), underflow, inexact."""
    return arc_sine(x, direction, False, fmt, options)


def asin_pi(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc sine divided by pi. Signals as asin does."""
    return arc_sine(x, direction, True, fmt, options)


def acos(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc cosine. Signals invalid operation (signalling NaN, |x| > 1), underflow, inexact."""
    return arc_cosine(x, direction, False, fmt, options)


def acos_pi(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc cosine divided by pi. Signals as acos does."""
    return arc_cosine(x, direction, True, fmt, options)


def arc_sine(x: Bits, direction: Bits, of_pi: bool, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc sine, in radians or as a part of pi."""
    phase("unpack")
    exponent, one = exponent_field(x, fmt), fmt.one
    bits = precision_of(fmt, options).fast
    if is_outside(x, exponent, least_operand(of_pi, fmt), fmt.bias, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if magnitude_of(x, fmt) > one:
            return signal_invalid_operation(fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        if magnitude_of(x, fmt) == one:
            value = quarters(2, sign_of(x, fmt), bits, of_pi, fmt)
        else:
            number = unpack_with_leading_one(x, fmt, options)
            value = next_to_argument(number, constant(0, 1), bits, signed_exponent_bits(fmt), fmt)
    else:
        value = approximated(sine_kernel, (x,), sine_plan_of, of_pi, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def arc_cosine(x: Bits, direction: Bits, of_pi: bool, fmt: BinaryFormat, options: Options) -> Bits:
    """The arc cosine, in radians or as a part of pi."""
    phase("unpack")
    exponent, one = exponent_field(x, fmt), fmt.one
    bits, positive = precision_of(fmt, options).fast, constant(0, 1)
    if is_outside(x, exponent, 2 - fmt.precision, fmt.bias, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if magnitude_of(x, fmt) > one:
            return signal_invalid_operation(fmt, options)
        if x == one:
            return zero(positive, fmt)
        if counts_as_zero(x, fmt, options):
            value = quarters(2, positive, bits, of_pi, fmt)
        else:
            value = quarters(4, positive, bits, of_pi, fmt)
    else:
        value = approximated(cosine_kernel, (x,), cosine_plan_of, of_pi, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def sine_kernel(
    operands: tuple[Bits, ...], plan: SinePlan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The arc sine of a number below 1."""
    x = unpack_inside(operands[0], exponent_field(operands[0], fmt), plan.least_exponent, fmt, options)
    largest = fmt.bias - SMALL - 1  # exponent of small arguments
    below = subtract_modulo(largest % (1 << x.exponent.width), x.exponent, x.exponent.width)
    if field(below, below.width - 1, 1):
        point = on_unit_circle(x, plan.turn.angle.rotation.operand_bits, fmt, options)
        angle = angle_of(point.ratio, plan.turn.angle)
        value = to_the_right(sign_of(operands[0], fmt), angle, ~point.is_upper, plan.turn, fmt, options)
    else:
        farthest = farthest_below(largest, plan.least_exponent, fmt)
        near = odd_function(x, below, farthest, signed_exponent_bits(fmt), plan.small, fmt)
        value = Approximation(near.sign, near.exponent_less_one, near.significand >> SPARE_OF_SMALL)
    return value


def cosine_kernel(
    operands: tuple[Bits, ...], plan: CosinePlan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The arc cosine of a number below 1."""
    x = unpack_inside(operands[0], exponent_field(operands[0], fmt), 2 - fmt.precision, fmt, options)
    point = on_unit_circle(x, plan.turn.angle.rotation.operand_bits, fmt, options)
    positive, back = constant(0, 1), sign_of(operands[0], fmt)
    if is_small(point.ratio) & ~point.is_upper & ~back:
        value = arc_tangent_of_small_ratio(positive, from_one(point.ratio), plan.small, fmt)
    else:
        angle = angle_of(point.ratio, plan.turn.angle)
        value = anywhere(positive, angle, point.is_upper, back, plan.turn, fmt, options)
    return value
