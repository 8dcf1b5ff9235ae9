"""sinh x, cosh x and tanh x (IEEE 754-2019, clause 9.2).

Small arguments, |x| < 2^-s: sinh x and tanh x are x P(x^2) (`odd_functions`).

sinh and cosh of others: |x| log2(e) = n + f, a whole number and a fraction, and from 2^f and 2^-f
(`opposite_powers`)

    2 cosh x = 2^n (2^f + 2^-f / 2^2n),    2 sinh |x| = 2^n (2^f - 2^-f / 2^2n).

With E a bound of what 2^f loses, n + f being off as `exponential` argues, 2^-f loses E / 2 and two units at
the most. So a bracket loses 3/2 E + 2 units for n = 0, and 9/8 E + 1/2 for others; and less than a unit for
what is shifted out. In units of the last of B bits after the leading one of the result that is

- of cosh half as much for n = 0, when the bracket is 2 or more, and as much for others, when it is 1 or more;
  and less than a unit for a bit too many;
- of sinh as much for n = 0, when the bracket is 2 sinh(1/2) > 1 or more; twice as much for others, when it is
  3/4 or more.

tanh of others: 2 |x| log2(e) = n + f, and with z = 2^f and w = 2^-n, which is exact,

    |tanh x| = (z - w) / (z + w) = T.

It is found as 2 T, a quotient with B + 2 bits after the point. An error of z changes 2 T by 4 w / (z + w)^2
times as much. For |x| >= 1/4 that, in units of the last of B bits after the leading one of 2 T, is most where
n = 0 and z is least: z > 1.64 and 2 T > 1/4, which makes 16 / 2.64^2 < 7/3 units. Where n = 1, 2 T >= 2/3 and
they are 16/9 at most, where n is more, 2 T >= 1 and they are less than one. To that come the quotient's
error, in these units, and one for bits too many.

Known without being computed are

- sinh x and tanh x where x^2 < 2^-p: x + x^3/6 and x - x^3/3 lie nearer to x than any boundary of rounding
  but x itself; and cosh x for these: it is as near to 1;
- tanh x where e^2x > 2^(p + 2): 1 - tanh x = 2 / (e^2x + 1) is less than half of what the boundary next to 1
  is away from it.

Special operands, by clause 9.2.1, from memory: sinh and tanh of +-0 are that zero, cosh of it is 1, exactly;
sinh of an infinity is that infinity, cosh of it +infinity, tanh of it +-1, exactly. sinh and tanh of tiny
numbers underflow.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import exponential, power_series, quotients
from softfloat_py.routines.elementary.arguments import (
    farthest_below,
    is_below,
    is_outside,
    least_encoding,
    unpack_inside,
)
from softfloat_py.routines.elementary.extremes import (
    beyond_range,
    least_exponent,
    next_to_argument,
    next_to_one,
)
from softfloat_py.routines.elementary.leading_ones import with_leading_one_among
from softfloat_py.routines.elementary.odd_functions import OddPlan, odd_function, odd_plan
from softfloat_py.routines.elementary.opposite_powers import (
    OppositePlan,
    opposite_powers,
    plan_of_opposite,
)
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.shift_and_add import PowerByShifts
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    select,
    subtract_modulo,
    with_point,
)
from softfloat_py.routines.normalisation import with_leading_one
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import infinity_or_nan, is_nan, nan_of_one, one, zero
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    is_special,
    magnitude_of,
    sign_of,
    unpack_nonzero_with,
)


class Hyperbolic(Enum):
    """Which of the two that are made of both powers."""

    SINE = "sinh"
    COSINE = "cosh"


@dataclass(frozen=True, slots=True)
class Plan:
    """How sinh or cosh is computed with `bits` bits after the leading one; sinh is `small` below a power of
    two.
    """

    of: Hyperbolic
    bits: int
    small: OddPlan
    reduction: exponential.Plan
    powers: OppositePlan | PowerByShifts
    error: int


BELOW = 1  # sinh x is a polynomial where |x| < 2^-BELOW


@cache
def plan_of(bits: int, of: Hyperbolic, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    small = odd_plan(power_series.hyperbolic_sine(power_series.E), BELOW, bits, fmt.precision)
    reduction = exponential.plan_of(bits, power_series.E, fmt, options)
    powers = plan_of_opposite(reduction.power)
    one = exponential.ERROR_OF_EXPONENT + powers.error
    first, others = Fraction(3, 2) * one + 3, Fraction(9, 8) * one + Fraction(3, 2)
    if of is Hyperbolic.COSINE:
        error = max(first / 2, others) + 1
    else:
        error = max(small.error, first, 2 * others)
    return Plan(of, bits, small, reduction, powers, ceil(error))


@dataclass(frozen=True, slots=True)
class TangentPlan:
    """How tanh is computed with `bits` bits after the leading one; it is `small` below a power of two."""

    bits: int
    small: OddPlan
    reduction: exponential.Plan
    error: int


BELOW_OF_TANGENT = 2  # tanh x is a polynomial where |x| < 2^-BELOW_OF_TANGENT


@cache
def tangent_plan_of(bits: int, of: None, fmt: BinaryFormat, options: Options) -> TangentPlan:
    """The plan for a number of bits."""
    small = odd_plan(power_series.HYPERBOLIC_TANGENT, BELOW_OF_TANGENT, bits, fmt.precision)
    reduction = exponential.plan_of(bits, power_series.E, fmt, options)
    other = Fraction(7, 3) * reduction.error + quotients.ERROR + 1
    return TangentPlan(bits, small, reduction, ceil(max(small.error, other)))


@cache
def least_next_to_one(fmt: BinaryFormat) -> int:
    """The encoding of the least number for which e^2x is not below 2^(p + 2)."""
    half_of_ln_2 = Fraction(power_series.ln_of_base(2, 200), 2 << 200)
    return least_encoding((fmt.precision + 2) * half_of_ln_2, fmt)


def sinh(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The hyperbolic sine. Signals invalid operation (signalling NaN), overflow, underflow, inexact."""
    return of_both_powers(x, direction, Hyperbolic.SINE, fmt, options)


def cosh(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The hyperbolic cosine. Signals invalid operation (signalling NaN), overflow, inexact."""
    return of_both_powers(x, direction, Hyperbolic.COSINE, fmt, options)


def of_both_powers(x: Bits, direction: Bits, of: Hyperbolic, fmt: BinaryFormat, options: Options) -> Bits:
    """sinh or cosh."""
    phase("unpack")
    least, most = least_exponent(fmt), fmt.bias + exponential.reach(fmt)
    exponent = exponent_field(x, fmt)
    bits, exponent_bits = precision_of(fmt, options).fast, exponential.exponent_bits_of(power_series.E, fmt)
    sign = sign_of(x, fmt) if of is Hyperbolic.SINE else constant(0, 1)
    if is_outside(x, exponent, least, most, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if is_special(x, fmt):
                return infinity_or_nan(sign, fmt, options)
        if counts_as_zero(x, fmt, options):
            if of is Hyperbolic.SINE:
                return zero(sign, fmt)
            return one(sign, fmt)
        if exponent >= fmt.bias:
            value = beyond_range(constant(0, 1), bits, exponent_bits, fmt)
        elif of is Hyperbolic.SINE:
            operand = unpack_nonzero_with(exponent, x, fmt, options)
            value = next_to_argument(operand, constant(0, 1), bits, exponent_bits, fmt)
        else:
            value = next_to_one(constant(0, 1), bits, exponent_bits, fmt)
    else:
        value = approximated(sine_or_cosine, (x,), plan_of, of, fmt, options, False)
    return round_to_format(sign, value.exponent_less_one, value.significand, direction, fmt, options)


def sine_or_cosine(
    operands: tuple[Bits, ...], plan: Plan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """sinh |x| or cosh x: the kernel of both."""
    x = unpack_inside(operands[0], exponent_field(operands[0], fmt), least_exponent(fmt), fmt, options)
    if plan.of is Hyperbolic.COSINE:
        return from_both_powers(x, plan, fmt, options)
    distance = below_the_largest(x.exponent, plan.small, fmt)
    if field(distance, distance.width - 1, 1):
        value = from_both_powers(x, plan, fmt, options)
    else:
        value = of_small(x, distance, plan.small, fmt)
    return value


def below_the_largest(exponent: Bits, small: OddPlan, fmt: BinaryFormat) -> Bits:
    """How far an exponent is below the largest of small arguments: a two's complement number."""
    return subtract_modulo((fmt.bias - small.below - 1) % (1 << exponent.width), exponent, exponent.width)


def of_small(x: Unpacked, distance: Bits, small: OddPlan, fmt: BinaryFormat) -> Approximation:
    """The function of a small x, its exponent so far below the largest of these."""
    farthest = farthest_below(fmt.bias - small.below - 1, least_exponent(fmt), fmt)
    return odd_function(x, distance, farthest, exponential.exponent_bits_of(power_series.E, fmt), small, fmt)


def from_both_powers(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """sinh |x| or cosh x by 2^f and 2^(1 - f)."""
    bits, exponent_bits = plan.reduction.bits, exponential.exponent_bits_of(power_series.E, fmt)
    magnitude = exponential.magnitude_in_fixed_point(x, plan.reduction, fmt)
    whole = magnitude >> bits
    power, opposite = opposite_powers(field(magnitude, 0, bits), plan.powers)
    exponent_less_one = add_modulo(whole, (fmt.bias - 2) % (1 << exponent_bits), exponent_bits)
    places = select(whole > bits // 2, constant(bits, whole.width + 1), whole << 1)
    shifted = opposite >> resize(places, bits.bit_length())
    if plan.of is Hyperbolic.COSINE:
        phase("add")
        bracket = with_point(resize(power + shifted, bits + 2), bits)
        significand, exponent_less_one = with_leading_one_among(bracket, 1, exponent_less_one)
    else:
        phase("subtract")
        significand = with_point(resize(power - shifted, bits + 1), bits)
        if ~field(significand, bits, 1):
            significand, exponent_less_one = with_leading_one(
                significand, exponent_less_one, options, signed=True
            )
    return Approximation(x.sign, exponent_less_one, significand)


def tanh(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The hyperbolic tangent. Signals invalid operation (signalling NaN), underflow, inexact."""
    phase("unpack")
    least = least_exponent(fmt)
    exponent, sign = exponent_field(x, fmt), sign_of(x, fmt)
    bits, exponent_bits = precision_of(fmt, options).fast, exponential.exponent_bits_of(power_series.E, fmt)
    is_large = magnitude_of(x, fmt) >= least_next_to_one(fmt)
    if is_below(x, exponent, least, fmt, options) | is_large:
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if is_special(x, fmt):
                return one(sign, fmt)
        if counts_as_zero(x, fmt, options):
            return zero(sign, fmt)
        if is_large:
            value = next_to_one(constant(1, 1), bits, exponent_bits, fmt)
        else:
            operand = unpack_nonzero_with(exponent, x, fmt, options)
            value = next_to_argument(operand, constant(1, 1), bits, exponent_bits, fmt)
    else:
        value = approximated(tangent, (x,), tangent_plan_of, None, fmt, options, False)
    return round_to_format(sign, value.exponent_less_one, value.significand, direction, fmt, options)


def tangent(
    operands: tuple[Bits, ...], plan: TangentPlan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """tanh |x|: the kernel."""
    x = unpack_inside(operands[0], exponent_field(operands[0], fmt), least_exponent(fmt), fmt, options)
    distance = below_the_largest(x.exponent, plan.small, fmt)
    if field(distance, distance.width - 1, 1):
        value = from_quotient(x, plan, fmt, options)
    else:
        value = of_small(x, distance, plan.small, fmt)
    return value


def from_quotient(x: Unpacked, plan: TangentPlan, fmt: BinaryFormat, options: Options) -> Approximation:
    """tanh |x| by 2^f."""
    bits, exponent_bits = plan.bits, exponential.exponent_bits_of(power_series.E, fmt)
    twice = Unpacked(x.sign, add_modulo(x.exponent, 1, x.exponent.width), x.significand)
    magnitude = exponential.magnitude_in_fixed_point(twice, plan.reduction, fmt)
    whole = magnitude >> bits
    power = exponential.power_of_two(field(magnitude, 0, bits), plan.reduction.power)
    phase("add")
    one = constant(1 << bits, bits + 1) >> resize(whole, bits.bit_length())
    upper = with_point(resize((power - one) << 1, bits + 3), bits)
    lower = with_point(resize(power + one, bits + 2), bits)
    if ~field(lower, bits + 1, 1):
        upper, lower = resize(upper << 1, bits + 3), resize(lower << 1, bits + 2)
    found = quotients.quotient(upper, lower, bits + 2, options)
    phase("normalise")
    exponent_less_one = constant((fmt.bias - 4) % (1 << exponent_bits), exponent_bits)
    significand, exponent_less_one = with_leading_one_among(found, 2, exponent_less_one)
    return Approximation(x.sign, exponent_less_one, significand)
