"""sin and cos (IEEE 754-2019, clause 9.2), of any argument that the format has.

x is a quadrant and a fraction of one (`quadrants`). In a falling quadrant, the second and the fourth of the
sine, the fraction is counted from the other end; the sign is that of the half turn. What is left is the sine
of a fraction of a right angle (`right_angles`). The cosine is the sine one right angle further on.

What is lost is what `right_angles` states. The fraction may be small, where x comes near a multiple of a
right angle or of a half turn: the first phase has as many bits as small arguments need, and leaves to the
second one what comes nearer to zero than these; the last one has as many as the nearest number of the format
needs (`nearest_multiples`).

Special operands (clause 9.2.1, from memory): the sine of a zero is that zero, the cosine 1, both exact;
infinities are invalid operands. All other results are inexact, since the sine of a rational number but 0 is
transcendental.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary.arguments import is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import next_to_argument, next_to_one
from softfloat_py.routines.elementary.nearest_multiples import zeros_of_nearest
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.quadrants import Reduction, in_right_angles, reduction
from softfloat_py.routines.elementary.right_angles import INDEX_BITS, SinePlan, sine, sine_plan
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits, constant, field, phase, subtract_modulo
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, signal_invalid_operation, zero
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    is_special,
    sign_of,
    unpack_nonzero_with,
)

SINE, COSINE = 0, 1  # right angles that the sine is ahead


@dataclass(frozen=True, slots=True)
class Plan:
    """How a sine is computed with `bits` bits, `ahead` right angles further on."""

    bits: int
    ahead: int
    reduction: Reduction
    sine: SinePlan
    error: int


@cache
def plan_of(bits: int, ahead: int, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    precision = precision_of(fmt, options)
    again = bits == precision.accurate
    lowest = lowest_exponent(fmt)
    most_zeros = fmt.bias - lowest
    if again or not precision.accurate:
        most_zeros = max(most_zeros, zeros_of_nearest(fmt))
    of_sine = sine_plan(bits, most_zeros, INDEX_BITS[options.tables][again])
    of_angle = reduction(of_sine.fraction_bits, lowest, fmt, always_by_windows=again)
    return Plan(bits, ahead, of_angle, of_sine, of_sine.error)


def least_exponent(fmt: BinaryFormat) -> int:
    """The biased exponent below which sin x, tan x and cos x lie next to x and to 1.

    Then |x| < 2^-(p/2). sin x is less than x^2/6 of x away, tan x not much more than x^2/3, cos x x^2/2 from
    1, and a boundary of rounding 2^-(p + 1) at least.
    """
    return fmt.bias - (fmt.precision + 1) // 2


def lowest_exponent(fmt: BinaryFormat) -> int:
    """The lowest biased exponent that is computed with: of a subnormal number, if these are."""
    least = least_exponent(fmt)
    return least if least >= 1 else 2 - fmt.precision


def exponent_bits_of(fmt: BinaryFormat) -> int:
    """Bits of a two's complement number that holds the exponents of results."""
    lowest = zeros_of_nearest(fmt) + fmt.precision + 2 * fmt.bias
    return max(signed_exponent_bits(fmt), lowest.bit_length() + 1)


def sin(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The sine of x radians. Signals invalid operation (signalling NaN, infinity), underflow, inexact."""
    return circular(x, direction, SINE, fmt, options)


def cos(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The cosine of x radians. Signals invalid operation (signalling NaN, infinity), underflow, inexact."""
    return circular(x, direction, COSINE, fmt, options)


def circular(x: Bits, direction: Bits, ahead: int, fmt: BinaryFormat, options: Options) -> Bits:
    """The sine so many right angles further on."""
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
            if ahead:
                return constant(fmt.bias << fmt.trailing_bits, fmt.width)
            return zero(sign_of(x, fmt), fmt)
        if ahead:
            value = next_to_one(constant(1, 1), bits, exponent_bits_of(fmt), fmt)
        else:
            operand = unpack_nonzero_with(exponent, x, fmt, options)
            value = next_to_argument(operand, constant(1, 1), bits, exponent_bits_of(fmt), fmt)
    else:
        operand = unpack_inside(x, exponent, least, fmt, options)
        value = approximated(sine_ahead, operand, plan_of, ahead, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def sine_ahead(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The sine so many right angles further on: the kernel of these functions."""
    quadrant, fraction = in_right_angles(x, plan.reduction, fmt)
    phase("quadrant")
    falling = field(quadrant, 0, 1)
    negative = field(quadrant, 1, 1)
    sign = x.sign
    if plan.ahead:
        sign = negative ^ falling
        falling = ~falling
    else:
        sign = x.sign ^ negative
    if falling:
        fraction = fraction ^ ((1 << fraction.width) - 1)
    place, significand = sine(fraction, plan.sine, options)
    exponent_less_one = subtract_modulo(fmt.bias - 1, place, exponent_bits_of(fmt))
    return Approximation(sign, exponent_less_one, significand)
