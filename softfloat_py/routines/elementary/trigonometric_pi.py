"""sinPi, cosPi and tanPi (IEEE 754-2019, clause 9.2): functions of pi x, an angle of x half turns.

2 x is a whole number of right angles and a fraction of one, both exact. Where the fraction is 0, results are
exact, and so is the tangent of half a right angle. Elsewhere results are irrational. They are sines and
tangents of an exact fraction, and what is lost is what `sines` and `tangents` state.

There is a fraction for exponents from a lowest one on. Below that, pi x stands for its sine and its tangent.
These are less than 4 x^2 of it away, for (pi x)^2 / 3: less than half a unit of the last of all bits that are
computed. pi is off by so much that the product is half a unit off, and a unit is cut off that.

Special operands (clause 9.2.1, from memory), n being whole numbers:

- sinPi(n) is +0 for n > 0, -0 for n < 0, and a zero as it is; sinPi(n + 1/2) is 1 for an even n, -1 for an
  odd one;
- cosPi(n) is 1 for an even n, -1 for an odd one; cosPi(n + 1/2) is +0;
- tanPi(n) is +0 for n > 0 even and n < 0 odd, -0 for n > 0 odd and n < 0 even, and a zero as it is; tanPi(n +
  1/2) is +infinity for an even n, -infinity for an odd one: a division by zero.

Infinities are invalid operands. Large numbers are even.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import reals
from softfloat_py.routines.elementary.arguments import is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import next_to_one
from softfloat_py.routines.elementary.fixed_point import at_top
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.slopes import FractionPlan
from softfloat_py.routines.elementary.tangents import TangentPlan
from softfloat_py.routines.elementary.trigonometric import (
    Angle,
    Function,
    fraction_plan,
    sine_in_quadrant,
    tangent_in_quadrant,
)
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    shift_left,
    signal,
    subtract_modulo,
    with_point,
)
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    infinity_or_nan,
    is_nan,
    nan_of_one,
    one,
    signal_invalid_operation,
    zero,
)
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    is_special,
    sign_of,
    unpack_nonzero_with,
)


@dataclass(frozen=True, slots=True)
class Plan:
    """How a function of an angle is computed with `bits` bits, from one of a fraction of a right angle."""

    bits: int
    of: Function
    fraction: FractionPlan | TangentPlan
    error: int


@dataclass(frozen=True, slots=True)
class MultiplePlan:
    """How pi x is computed with `bits` bits, from pi with as many fraction bits."""

    bits: int
    of: Function
    pi: int
    error: int


@cache
def plan_of(bits: int, of: Function, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    places = fraction_bits(of, fmt, options)
    fraction = fraction_plan(bits, places, True, of, fmt, options)
    return Plan(bits, of, fraction, fraction.error)


@cache
def multiple_plan_of(bits: int, of: Function, fmt: BinaryFormat, options: Options) -> MultiplePlan:
    """The plan of pi x for a number of bits."""
    return MultiplePlan(bits, of, reals.pi(bits), 2)


def least_exponent(of: Function, fmt: BinaryFormat, options: Options) -> int:
    """The biased exponent below which cos(pi x) lies next to 1, and pi x stands for sine and tangent."""
    if of is Function.COSINE:
        # (pi x)^2 / 2 is less than five x^2, and a boundary of rounding 2^-(p + 1) away from 1
        return fmt.bias - (fmt.precision + 5) // 2
    precision = precision_of(fmt, options)
    return fmt.bias - (max(precision) + 5) // 2


def lowest_exponent(of: Function, fmt: BinaryFormat, options: Options) -> int:
    """The lowest biased exponent for which there is a fraction: of a subnormal number, if these have one."""
    least = least_exponent(of, fmt, options)
    return least if least >= 1 else 2 - fmt.precision


def fraction_bits(of: Function, fmt: BinaryFormat, options: Options) -> int:
    """Bits of a fraction, so many that all are exact."""
    return fmt.precision - 2 + fmt.bias - lowest_exponent(of, fmt, options)


def exponent_bits_of(of: Function, fmt: BinaryFormat, options: Options) -> int:
    """Bits of a two's complement number that holds the exponents of results."""
    farthest = fraction_bits(of, fmt, options) + fmt.precision + 2 * fmt.bias
    return max(signed_exponent_bits(fmt), farthest.bit_length() + 1)


def sin_pi(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The sine of pi x. Signals invalid operation (signalling NaN, infinity), underflow, inexact."""
    return of_half_turns(x, direction, Function.SINE, fmt, options)


def cos_pi(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The cosine of pi x. Signals invalid operation (signalling NaN, infinity), underflow, inexact."""
    return of_half_turns(x, direction, Function.COSINE, fmt, options)


def tan_pi(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The tangent of pi x. Signals invalid operation (signalling NaN, infinity), division by zero (1/2 from a
    whole number), overflow, underflow, inexact.
    """
    return of_half_turns(x, direction, Function.TANGENT, fmt, options)


def of_half_turns(x: Bits, direction: Bits, of: Function, fmt: BinaryFormat, options: Options) -> Bits:
    """A function of an angle in half turns."""
    phase("unpack")
    least, most = least_exponent(of, fmt, options), fmt.bias + fmt.precision
    exponent = exponent_field(x, fmt)
    exponent_bits = exponent_bits_of(of, fmt, options)
    if is_outside(x, exponent, least, most, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if is_special(x, fmt):
                return signal_invalid_operation(fmt, options)
        if counts_as_zero(x, fmt, options) | (exponent >= fmt.bias):
            if of is Function.COSINE:
                return one(constant(0, 1), fmt)
            return zero(sign_of(x, fmt), fmt)
        if of is Function.COSINE:
            value = next_to_one(constant(1, 1), precision_of(fmt, options).fast, exponent_bits, fmt)
        else:
            small = unpack_nonzero_with(exponent, x, fmt, options)
            value = approximated(times_pi, small, multiple_plan_of, of, fmt, options, False)
    else:
        angle = in_right_angles(unpack_inside(x, exponent, least, fmt, options), of, fmt, options)
        if angle.fraction == 0:
            phase("special operands")
            return of_right_angles(angle, of, fmt, options)
        if of is Function.TANGENT:
            if angle.fraction == 1 << (angle.fraction.width - 1):
                phase("special operands")
                return one(angle.sign ^ field(angle.quadrant, 0, 1), fmt)
        kernel = tangent_of_angle if of is Function.TANGENT else sine_of_angle
        value = approximated(kernel, angle, plan_of, of, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def in_right_angles(x: Unpacked, of: Function, fmt: BinaryFormat, options: Options) -> Angle:
    """2 x modulo 4, exactly."""
    phase("right angles")
    lowest = lowest_exponent(of, fmt, options)
    places = fraction_bits(of, fmt, options)
    most = min(fmt.precision - 1, fmt.emax) + fmt.bias - lowest
    width = x.exponent.width
    distance = resize(subtract_modulo(x.exponent, lowest % (1 << width), width), most.bit_length())
    turned = shift_left(x.significand, distance, fmt.precision + most)
    turned = field(turned, 0, places + 2)
    fraction = with_point(field(turned, 0, places), places)
    return Angle(x.sign, turned >> places, fraction)


def of_right_angles(angle: Angle, of: Function, fmt: BinaryFormat, options: Options) -> Bits:
    """The result for a whole number of right angles."""
    odd, half_turn = field(angle.quadrant, 0, 1), field(angle.quadrant, 1, 1)
    if of is Function.SINE:
        if odd:
            return one(angle.sign ^ half_turn, fmt)
        return zero(angle.sign, fmt)
    if of is Function.COSINE:
        if odd:
            return zero(constant(0, 1), fmt)
        return one(half_turn, fmt)
    if odd:
        signal(Flags.DIVISION_BY_ZERO)
        return infinity_or_nan(angle.sign ^ half_turn, fmt, options)
    return zero(angle.sign ^ half_turn, fmt)


def sine_of_angle(angle: Angle, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The sine or cosine: the kernel of these functions."""
    assert isinstance(plan.fraction, FractionPlan)
    angle = widened(angle, plan.fraction.fraction_bits)
    exponent_bits = exponent_bits_of(plan.of, fmt, options)
    return sine_in_quadrant(angle, plan.of, plan.fraction, exponent_bits, fmt, options)


def tangent_of_angle(angle: Angle, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The tangent: its kernel."""
    assert isinstance(plan.fraction, TangentPlan)
    angle = widened(angle, plan.fraction.fraction_bits)
    exponent_bits = exponent_bits_of(plan.of, fmt, options)
    return tangent_in_quadrant(angle, plan.fraction, exponent_bits, fmt, options)


def widened(angle: Angle, fraction_bits: int) -> Angle:
    """An angle whose fraction has so many bits."""
    phase("quadrant")
    fraction = at_top(angle.fraction, fraction_bits)
    return Angle(angle.sign, angle.quadrant, fraction)


def times_pi(x: Unpacked, plan: MultiplePlan, fmt: BinaryFormat, options: Options) -> Approximation:
    """pi x: the kernel for small numbers."""
    phase("multiply")
    product = plan.pi * x.significand  # pi has two bits before the point
    exponent_bits = exponent_bits_of(plan.of, fmt, options)
    below_one = subtract_modulo(fmt.bias, x.exponent, x.exponent.width)
    exponent_less_one = subtract_modulo(fmt.bias, below_one, exponent_bits)
    if field(product, product.width - 1, 1):
        significand = product >> (fmt.precision + 1)
        exponent_less_one = add_modulo(exponent_less_one, 1, exponent_bits)
    else:
        significand = field(product, fmt.precision, plan.bits + 1)
    return Approximation(x.sign, exponent_less_one, significand)
