"""atanh x, the number whose hyperbolic tangent is x (IEEE 754-2019, clause 9.2).

atanh x = ln((1 + x) / (1 - x)) / 2 = ln(1 + v) / 2, with v = 2 x / (1 - x), of the magnitude of x; and the
logarithm of 1 + v is relative to itself however small v is (`logarithm_core`). A relative error of v is one
of ln(1 + v) that is not larger, as v / (1 + v) < ln(1 + v). Of v is lost, relative to it,

- 2^-(bits + 2) for 1 - x, which has bits + 3 bits and is not below 1/2 where that does not hold all of it;
- quotients.ERROR units of the last of bits + 3 bits after the point of the quotient, which is above 1/2.

In units of the last place of the result, which is up to twice as large as its leading one, that is not more
than 1/2 and quotients.ERROR / 2. Of the sum 1 + v, for v not below 2^-t, with bits + t + 2 bits, two units of
its last place are cut off at the most; ln(1 + v) is not below 2^-(t + 1), so that is two units.

Where |x| < 2^-(p/2) atanh x is x and a little, x^3/3 and less than 2^-(p + 1) x: less than the boundary
of rounding next to x is away. That is not computed.

Special operands, by clause 9.2.1 (from memory): a zero is its own result, 1 and -1 give an infinity of their
sign with division by zero; beyond these the operation is invalid.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import power_series, quotients
from softfloat_py.routines.elementary.arguments import is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import least_exponent, next_to_argument
from softfloat_py.routines.elementary.fixed_point import at_most, at_top
from softfloat_py.routines.elementary.logarithm import exponent_of, whole_bits
from softfloat_py.routines.elementary.logarithm_core import (
    LogarithmPlan,
    index_bits,
    logarithm_of_one_and,
    logarithm_plan,
)
from softfloat_py.routines.elementary.precisions import is_by_shifts, precision_of
from softfloat_py.routines.elementary.quotients import quotient
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
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
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    infinity_or_nan,
    is_nan,
    nan_of_one,
    signal_invalid_operation,
    zero,
)
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    magnitude_of,
    sign_of,
    unpack_nonzero_with,
)

SPARE = 3  # bits more than the result, of 1 - x and of the quotient


@dataclass(frozen=True, slots=True)
class Plan:
    """How atanh is computed with `bits` bits after the leading one."""

    bits: int
    logarithm: LogarithmPlan
    error: int


@cache
def plan_of(bits: int, of: None, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    by_shifts = is_by_shifts(bits, fmt, options)
    sum_bits = bits + index_bits(options.tables, by_shifts) + 2
    logarithm = logarithm_plan(power_series.E, bits, sum_bits, whole_bits(fmt), options.tables, by_shifts)
    return Plan(bits, logarithm, logarithm.error + 1 + (quotients.ERROR + 1) // 2 + 2)


def atanh(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The inverse hyperbolic tangent. Signals invalid operation (signalling NaN, |x| > 1), division by zero
    (|x| = 1), underflow, inexact.
    """
    phase("unpack")
    exponent = exponent_field(x, fmt)
    bits, least = precision_of(fmt, options).fast, least_exponent(fmt)
    if is_outside(x, exponent, least, fmt.bias, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        if magnitude_of(x, fmt) == fmt.one:
            signal(Flags.DIVISION_BY_ZERO)
            return infinity_or_nan(sign_of(x, fmt), fmt, options)
        if exponent >= fmt.bias:
            return signal_invalid_operation(fmt, options)
        operand = unpack_nonzero_with(exponent, x, fmt, options)
        value = next_to_argument(operand, constant(0, 1), bits, operand.exponent.width, fmt)
    else:
        operand = unpack_inside(x, exponent, least, fmt, options)
        value = approximated(kernel, operand, plan_of, None, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def kernel(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """atanh of a number other than 0 between -1 and 1."""
    exponent, v = twice_over_rest(x, plan, fmt, options)
    logarithm = plan.logarithm
    value = logarithm_of_one_and(constant(0, 1), exponent, v, fmt.bias - 2, logarithm, options)
    return Approximation(x.sign, value.exponent_less_one, value.significand)


def twice_over_rest(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """2 |x| / (1 - |x|) as an exponent and a significand."""
    phase("rest")
    width, p = plan.bits + SPARE, fmt.precision
    exponent = exponent_of(x, fmt)
    distance = subtract_modulo((1 << exponent.width) - 1, exponent, exponent.width)
    magnitude = at_top(x.significand, width) >> at_most(distance, width - 1)
    rest = resize(constant(1 << width, width + 1) - magnitude, width)
    zeros = leading_zeros(rest >> (width - p - 1), options)
    divisor = shift_left(rest, zeros, width)
    v = quotient(at_top(x.significand, width), divisor, width, options)
    exponent = add_modulo(exponent, zeros, exponent.width)
    if field(v, width, 1):
        exponent = add_modulo(exponent, 2, exponent.width)
    else:
        v = resize(v << 1, width + 1)
        exponent = add_modulo(exponent, 1, exponent.width)
    return exponent, v
