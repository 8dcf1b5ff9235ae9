"""sin, cos and tan (IEEE 754-2019, clause 9.2), of any argument that the format has.

x is a quadrant and a fraction of one (`quadrants`). In a falling quadrant, the second and the fourth of the
sine, the fraction is counted from the other end; the sign is that of the half turn. What is left is the sine
of a fraction of a right angle (`sines`). The cosine is the sine one right angle further on. The tangent is
that of the fraction, or the reciprocal of the tangent of what is missing to 1, the smaller one of the two
(`tangents`); a right angle makes the negative reciprocal of it.

What is lost is what these state. The fraction may be small, where x comes near a multiple of a right angle:
the first phase has as many bits as small arguments need, and leaves what comes nearer to zero to the second
one; the last one has as many as the nearest number of the format needs (`nearest_multiples`).

Where |x| < 2^-(p/2), sin x and tan x lie next to x and cos x next to 1, and are not computed: sin x is less
than x^2/6 of x away, tan x not much more than x^2/3, cos x x^2/2 from 1, and a boundary of rounding 2^-(p +
1) at least.

Special operands (clause 9.2.1, from memory): the sine and the tangent of a zero are that zero, the cosine 1,
all exact; infinities are invalid operands. All other results are inexact, since these functions of a rational
number but 0 are transcendental.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, Tables
from softfloat_py.routines.elementary.arguments import is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import least_exponent, next_to_argument, next_to_one
from softfloat_py.routines.elementary.nearest_multiples import zeros_of_nearest
from softfloat_py.routines.elementary.precisions import is_by_shifts, precision_of
from softfloat_py.routines.elementary.quadrants import Reduction, in_right_angles, reduction
from softfloat_py.routines.elementary.sines import ROTATION_INDEX_BITS, sine, sine_plan
from softfloat_py.routines.elementary.slopes import INDEX_BITS, FractionPlan
from softfloat_py.routines.elementary.tangents import TangentPlan, tangent, tangent_plan
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits, constant, field, phase, subtract_modulo
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, one, signal_invalid_operation, zero
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    is_special,
    sign_of,
    unpack_nonzero_with,
)


class Function(Enum):
    """The functions of an angle."""

    SINE = "sine"
    COSINE = "cosine"
    TANGENT = "tangent"


class Angle(NamedTuple):
    """The sign of an angle, its quadrant and the fraction of a right angle beyond."""

    sign: Bits
    quadrant: Bits
    fraction: Bits


@dataclass(frozen=True, slots=True)
class Plan:
    """How a function of an angle is computed with `bits` bits, from one of a fraction of a right angle."""

    bits: int
    of: Function
    reduction: Reduction
    fraction: FractionPlan | TangentPlan
    error: int


@cache
def plan_of(bits: int, of: Function, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    precision = precision_of(fmt, options)
    again = bits == precision.accurate
    lowest = lowest_exponent(fmt)
    most_zeros = fmt.bias - lowest
    if again or not precision.accurate:
        most_zeros = max(most_zeros, zeros_of_nearest(fmt))
    fraction = fraction_plan(bits, most_zeros, False, of, fmt, options)
    of_angle = reduction(fraction.fraction_bits, lowest, fmt, always_by_windows=again)
    return Plan(bits, of, of_angle, fraction, fraction.error)


def fraction_plan(
    bits: int, most_zeros: int, exact: bool, of: Function, fmt: BinaryFormat, options: Options
) -> FractionPlan | TangentPlan:
    """The plan of a function of a fraction. Rotations are taken where they are cheaper than polynomials on
    all of attiny, z80 and 6502, by estimates in binary32: for sines unless tables are large,
    for tangents only where there are none.
    """
    tables = options.tables
    if is_by_shifts(bits, fmt, options):
        if of is Function.TANGENT and tables is Tables.NONE:
            return tangent_plan(bits, most_zeros, exact, ROTATION_INDEX_BITS[tables], by_shifts=True)
        if of is not Function.TANGENT and tables is not Tables.LARGE:
            return sine_plan(bits, most_zeros, exact, ROTATION_INDEX_BITS[tables], by_shifts=True)
    index_bits = INDEX_BITS[tables][bits == precision_of(fmt, options).accurate]
    if of is Function.TANGENT:
        return tangent_plan(bits, most_zeros, exact, index_bits)
    return sine_plan(bits, most_zeros, exact, index_bits)


def lowest_exponent(fmt: BinaryFormat) -> int:
    """The lowest biased exponent that is computed with: of a subnormal number, if these are."""
    least = least_exponent(fmt)
    return least if least >= 1 else 2 - fmt.precision


def exponent_bits_of(fmt: BinaryFormat) -> int:
    """Bits of a two's complement number that holds the exponents of results."""
    farthest = zeros_of_nearest(fmt) + fmt.precision + 2 * fmt.bias
    return max(signed_exponent_bits(fmt), farthest.bit_length() + 1)


def sin(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The sine of x radians. Signals invalid operation (signalling NaN, infinity), underflow, inexact."""
    return of_angle(x, direction, Function.SINE, fmt, options)


def cos(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The cosine of x radians. Signals invalid operation (signalling NaN, infinity), underflow, inexact."""
    return of_angle(x, direction, Function.COSINE, fmt, options)


def tan(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The tangent of x radians. Signals invalid operation (signalling NaN, infinity), overflow, underflow,
    inexact.
    """
    return of_angle(x, direction, Function.TANGENT, fmt, options)


def of_angle(x: Bits, direction: Bits, of: Function, fmt: BinaryFormat, options: Options) -> Bits:
    """A function of an angle in radians."""
    phase("unpack")
    least, most = least_exponent(fmt), fmt.bias + fmt.emax + 1
    exponent = exponent_field(x, fmt)
    bits = precision_of(fmt, options).fast
    if is_outside(x, exponent, least, most, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if is_special(x, fmt):
                return signal_invalid_operation(fmt, options)
        if counts_as_zero(x, fmt, options):
            if of is Function.COSINE:
                return one(constant(0, 1), fmt)
            return zero(sign_of(x, fmt), fmt)
        if of is Function.COSINE:
            value = next_to_one(constant(1, 1), bits, exponent_bits_of(fmt), fmt)
        else:
            operand = unpack_nonzero_with(exponent, x, fmt, options)
            less = constant(1 if of is Function.SINE else 0, 1)
            value = next_to_argument(operand, less, bits, exponent_bits_of(fmt), fmt)
    else:
        operand = unpack_inside(x, exponent, least, fmt, options)
        kernel = tangent_of_angle if of is Function.TANGENT else sine_of_angle
        value = approximated(kernel, operand, plan_of, of, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def sine_of_angle(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The sine or cosine: the kernel of these functions."""
    assert isinstance(plan.fraction, FractionPlan)
    quadrant, fraction = in_right_angles(x, plan.reduction, fmt)
    angle = Angle(x.sign, quadrant, fraction)
    return sine_in_quadrant(angle, plan.of, plan.fraction, exponent_bits_of(fmt), fmt, options)


def tangent_of_angle(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The tangent: its kernel."""
    assert isinstance(plan.fraction, TangentPlan)
    quadrant, fraction = in_right_angles(x, plan.reduction, fmt)
    angle = Angle(x.sign, quadrant, fraction)
    return tangent_in_quadrant(angle, plan.fraction, exponent_bits_of(fmt), fmt, options)


# -- from a quadrant and a fraction, also of half turns -----------------------------------------------------


def sine_in_quadrant(
    angle: Angle, of: Function, plan: FractionPlan, exponent_bits: int, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The sine or cosine of an angle."""
    phase("quadrant")
    falling, half_turn = field(angle.quadrant, 0, 1), field(angle.quadrant, 1, 1)
    if of is Function.SINE:
        sign = angle.sign ^ half_turn
    else:
        sign = falling ^ half_turn
        falling = ~falling
    fraction = angle.fraction
    if falling:
        fraction = missing_to_one(fraction, plan.exact)
    place, significand = sine(fraction, plan, options)
    exponent_less_one = subtract_modulo(fmt.bias - 1, place, exponent_bits)
    return Approximation(sign, exponent_less_one, significand)


def tangent_in_quadrant(
    angle: Angle, plan: TangentPlan, exponent_bits: int, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The tangent of an angle."""
    phase("quadrant")
    odd = field(angle.quadrant, 0, 1)
    fraction, inverted = angle.fraction, odd
    if field(fraction, fraction.width - 1, 1):
        fraction = missing_to_one(fraction, plan.fraction.exact)
        inverted = ~odd
    exponent_less_one, significand = tangent(fraction, inverted, plan, exponent_bits, fmt, options)
    return Approximation(angle.sign ^ odd, exponent_less_one, significand)


def missing_to_one(fraction: Bits, exact: bool) -> Bits:
    """What is missing to 1; less a unit for a fraction that is not exact."""
    return subtract_modulo(0, fraction, fraction.width) if exact else fraction ^ ((1 << fraction.width) - 1)
