"""e^x, 2^x and 10^x (IEEE 754-2019, clause 9.2).

x log2(b) = n + f, a whole number and a fraction, so b^x = 2^n 2^f. With j the first t bits of f and r the
rest, below 2^-t, 2^f = T_j 2^r: an entry of a table, and a polynomial. 2^r is 1 + q, q below 2^-t, and T_j +
T_j q takes a product of t bits less.

What is lost, in units of the last of F fraction bits:

- of x log2(b): log2(b) is off by half a unit of its last place, a fourth of the last bit at the largest x;
  what is cut off after the product, and after bringing it to its place, is less than a unit each. That is
  less than 2 1/4, and as much in the exponent of 2 changes 2^f, below 2, by 2 ln 2 < 1.4 times as much.
  Nothing is lost for base 2, but what is cut off where x has more bits after the point.
- of the entry half a unit, times 2^r;
- of the polynomial what it states, times T_j < 2;
- in the product less than a unit for the bits of T_j left out, and less than one for those of the product.

Where x has too many bits before the point, the result is far out of the range; where it is so small that
|x ln b| < 2^-(p + 2), it lies between 1 and the boundary of rounding next to 1. Neither is computed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Elementary, Options, Tables
from softfloat_py.routines.elementary import power_series, reals
from softfloat_py.routines.elementary.arguments import is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import beyond_range, next_to_one
from softfloat_py.routines.elementary.fixed_point import horner
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.precisions import Precision, precision_of
from softfloat_py.routines.elementary.shift_and_add import (
    PowerByShifts,
    power_by_shifts,
    power_by_shifts_plan,
)
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    look_up,
    phase,
    resize,
    select,
    subtract_modulo,
    with_point,
)
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import infinity_or_nan, is_nan, nan_of_one, one, zero
from softfloat_py.routines.tables import Table
from softfloat_py.routines.unpacking import Unpacked, counts_as_zero, exponent_field, is_special, sign_of

INDEX_BITS = {Tables.NONE: 0, Tables.SMALL: 5, Tables.LARGE: 8}


@dataclass(frozen=True, slots=True)
class PowerPlan:
    """How 2^f is computed for a fraction f of `bits` bits, with one bit before the point and `bits` after it;
    off by at most `error` units of the last of them, if f is exact.
    """

    bits: int
    index_bits: int
    table: Table
    series: Polynomial
    error: Fraction


@cache
def power_plan(bits: int, index_bits: int) -> PowerPlan:
    """The plan of 2^f."""
    t = index_bits
    series = polynomial(power_series.power(2), t, bits, bits)
    assert series.stages[-1].coefficient == 1 << bits
    entries = tuple(reals.power_of_two(Fraction(j, 1 << t), bits) for j in range(1 << t))
    error = 2 * series.error + Fraction(51, 100) * 2 + 2
    return PowerPlan(bits, t, Table(entries, bits + 1, name=f"powers_of_two_{bits}"), series, error)


def plan_of_power(bits: int, precision: Precision, options: Options) -> PowerPlan | PowerByShifts:
    """The plan of 2^f as the options have it; an accurate phase is by polynomials always."""
    if options.elementary is Elementary.SHIFT_AND_ADD and bits <= precision.fast:
        return power_by_shifts_plan(bits)
    return power_plan(bits, INDEX_BITS[options.tables])


@dataclass(frozen=True, slots=True)
class Plan:
    """How a power of a base is computed with `bits` fraction bits, for |x| < 2^reach.

    `whole_bits` are those of the largest whole number that x log2(base) has, without its sign; `factor` is
    log2(base), with `factor_bits` fraction bits.
    """

    base: int | None
    bits: int
    reach: int
    whole_bits: int
    factor: int
    factor_bits: int
    power: PowerPlan | PowerByShifts
    error: int


# What an error of x log2(base), less than 2 1/4 units, changes 2^f by.
ERROR_OF_EXPONENT = Fraction(9, 4) * Fraction(7, 5)
# Bits of log2(base) before its point, where it is not 1.
WHOLE_BITS_OF_FACTOR = {2: 0, power_series.E: 1, 10: 2}


@cache
def plan_of(bits: int, base: int | None, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    power = plan_of_power(bits, precision_of(fmt, options), options)
    far = reach(fmt)
    whole_bits = far + WHOLE_BITS_OF_FACTOR[base]
    factor_bits = bits + far + 2
    factor = 1 if base == 2 else power_series.log2_of_base(base, factor_bits)
    error = ceil(ERROR_OF_EXPONENT + power.error)
    return Plan(base, bits, far, whole_bits, factor, factor_bits, power, error)


def reach(fmt: BinaryFormat) -> int:
    """The power of two from which on x is far out of the range: 2^x overflows, or is less than half of the
    smallest number there is.
    """
    return max(fmt.exponent_bits, (fmt.bias + fmt.precision + 1).bit_length())


def least_exponent(base: int | None, fmt: BinaryFormat) -> int:
    """The biased exponent below which |x ln(base)| is less than 2^-(p + 2); ln 10 is less than 4."""
    return fmt.bias - fmt.precision - (4 if base == 10 else 2)


def exponent_bits_of(base: int | None, fmt: BinaryFormat) -> int:
    """Bits of a two's complement number that holds the exponents of results."""
    return max(reach(fmt) + WHOLE_BITS_OF_FACTOR[base] + 2, signed_exponent_bits(fmt))


def exp(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """e^x. Signals invalid operation (signalling NaN), overflow, underflow, inexact."""
    return exponential(x, direction, power_series.E, fmt, options)


def exp2(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """2^x, exact where x is a whole number. Signals invalid operation (signalling NaN), overflow, underflow,
    inexact.
    """
    return exponential(x, direction, 2, fmt, options)


def exp10(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """10^x, exact where the format has it. Signals invalid operation (signalling NaN), overflow, underflow,
    inexact.
    """
    return exponential(x, direction, 10, fmt, options)


def exponential(x: Bits, direction: Bits, base: int | None, fmt: BinaryFormat, options: Options) -> Bits:
    """The power of a base."""
    phase("unpack")
    least, most = least_exponent(base, fmt), fmt.bias + reach(fmt)
    exponent = exponent_field(x, fmt)
    bits, exponent_bits = precision_of(fmt, options).fast, exponent_bits_of(base, fmt)
    if is_outside(x, exponent, least, most, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if is_special(x, fmt):
                if sign_of(x, fmt):
                    return zero(constant(0, 1), fmt)
                return infinity_or_nan(constant(0, 1), fmt, options)
        if counts_as_zero(x, fmt, options):
            return one(constant(0, 1), fmt)
        if exponent >= fmt.bias:
            value = beyond_range(sign_of(x, fmt), bits, exponent_bits, fmt)
        else:
            value = next_to_one(sign_of(x, fmt), bits, exponent_bits, fmt)
    else:
        operand = unpack_inside(x, exponent, least, fmt, options)
        value = approximated(power_of_base, operand, plan_of, base, fmt, options, base is not power_series.E)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def power_of_base(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The power of a base: the kernel of these functions."""
    whole, fraction = in_fixed_point(x, plan, fmt)
    exponent_less_one = add_modulo(whole, fmt.bias - 1, whole.width)
    power = power_of_two(fraction, plan.power)
    return Approximation(constant(0, 1), exponent_less_one, power)


def in_fixed_point(x: Unpacked, plan: Plan, fmt: BinaryFormat) -> tuple[Bits, Bits]:
    """x log2(base), as a whole number in two's complement and a fraction."""
    magnitude = magnitude_in_fixed_point(x, plan, fmt)
    return whole_and_fraction(x.sign, magnitude, exponent_bits_of(plan.base, fmt), plan.bits)


def whole_and_fraction(negative: Bits, magnitude: Bits, exponent_bits: int, bits: int) -> tuple[Bits, Bits]:
    """A fixed-point number with so many bits after its point, or less than zero, as a whole number of
    `exponent_bits` in two's complement and a fraction.
    """
    if negative:
        number = subtract_modulo(0, magnitude, exponent_bits + bits)
    else:
        number = resize(magnitude, exponent_bits + bits)
    fraction = with_point(field(number, 0, bits), bits)
    return number >> bits, fraction


def magnitude_in_fixed_point(x: Unpacked, plan: Plan, fmt: BinaryFormat) -> Bits:
    """|x| log2(base)."""
    phase("to fixed point")
    p, width = fmt.precision, plan.whole_bits + plan.bits
    if plan.base == 2:
        aligned = x.significand << (width - p)
    else:
        product = x.significand * plan.factor
        aligned = resize(product >> (plan.factor_bits + p - plan.reach - plan.bits), width)
    return with_point(aligned >> places_down(x.exponent, width, plan, fmt), plan.bits)


def places_down(exponent: Bits, width: int, plan: Plan, fmt: BinaryFormat) -> Bits:
    """How far a significand that is at its place for the largest exponent is to be shifted right."""
    distance = subtract_modulo(fmt.bias + plan.reach - 1, exponent, exponent.width)
    if plan.reach + fmt.bias + fmt.precision >= width and least_exponent(plan.base, fmt) < 1:
        distance = select(distance >= width, constant(width - 1, exponent.width), distance)
    return resize(distance, (width - 1).bit_length())


def power_of_two(fraction: Bits, plan: PowerPlan | PowerByShifts) -> Bits:
    """2^f for a fraction, with one bit before the point."""
    if isinstance(plan, PowerByShifts):
        phase("shift and add")
        return power_by_shifts(fraction, plan)
    phase("polynomial")
    bits, t = plan.bits, plan.index_bits
    if t == 0:
        return resize(horner(fraction, plan.series), bits + 1)
    rest = with_point(field(fraction, 0, bits - t), bits)
    series = horner(rest, plan.series)
    entry = with_point(look_up(plan.table, field(fraction, bits - t, t)), bits)
    above = field(series, 0, bits - t)
    return with_point(resize(entry + ((above * (entry >> t)) >> (bits - t)), bits + 1), bits)
