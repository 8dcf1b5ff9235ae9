"""ln(1 + x), log2(1 + x) and log10(1 + x) (IEEE 754-2019, clause 9.2), called logp1, log2p1 and log10p1.

Next to 0 the logarithm of 1 + x is computed of x itself, else of the sum, by `logarithm_core`. The sum has
`bits` + 2 bits: it is exact for |x| < 4, and for a larger one it lacks less than 2^-(bits + 1) of it, which
is as much in the logarithm, above 1 then: less than a unit of the last of `bits` places.

Where |x| < 2^-p, ln(1 + x) is x and less than half of x^2 away from it, x^2/2 being less than the boundary of
rounding next to x is away, toward zero from a positive x and beyond a negative one. That is not computed.

Exact are, beside that of 0: log2p1 where 1 + x is a power of two, which is told by the significand S of x:
2^p - S is a power of two too; and log10p1 where 1 + x is a power of ten, to which no other result is so near
as the error of the accurate phase. log2(2^k + 1) is k and next to nothing for a large k, which is told too.

Special operands, by clause 9.2.1 (from memory): a zero is its own result, and so is +infinity; -1 gives minus
infinity with division by zero; below -1 the operation is invalid.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.extremes import next_to_argument
from softfloat_py.routines.elementary.logarithm import as_number, exponent_of, whole_bits
from softfloat_py.routines.elementary.logarithm_core import (
    LogarithmPlan,
    logarithm_of_one_and,
    logarithm_plan,
)
from softfloat_py.routines.elementary.precisions import is_by_shifts, precision_of
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    select,
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
    is_reserved,
    is_special,
    sign_of,
    unpack_normal_with,
    unpack_with_leading_one,
)


def logp1(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The natural logarithm of 1 + x. Signals invalid operation (signalling NaN, x < -1), division by zero (x
    = -1), underflow, inexact.
    """
    return logarithm_plus_one(x, direction, power_series.E, fmt, options)


def log2p1(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The binary logarithm of 1 + x, exact where that is a power of two. Signals as logp1 does."""
    return logarithm_plus_one(x, direction, 2, fmt, options)


def log10p1(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The decimal logarithm of 1 + x, exact where that is a power of ten. Signals as logp1 does."""
    return logarithm_plus_one(x, direction, 10, fmt, options)


@cache
def plan_of(bits: int, base: int | None, fmt: BinaryFormat, options: Options) -> LogarithmPlan:
    """The plan for a number of bits; one unit of the error is what the sum lacks."""
    by_shifts = is_by_shifts(bits, fmt, options)
    plan = logarithm_plan(base, bits, bits + 2, whole_bits(fmt), options.tables, by_shifts)
    return replace(plan, error=plan.error + 1)


def logarithm_plus_one(
    x: Bits, direction: Bits, base: int | None, fmt: BinaryFormat, options: Options
) -> Bits:
    """The logarithm of 1 + x to a base."""
    phase("unpack")
    exponent = exponent_field(x, fmt)
    number = unpack_normal_with(exponent, x, fmt)
    if is_reserved(exponent, fmt):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        if options.special:
            if is_special(x, fmt):
                if sign_of(x, fmt):
                    return signal_invalid_operation(fmt, options)
                return x
        phase("unpack")
        number = unpack_with_leading_one(x, fmt, options)
    if number.sign & (exponent >= fmt.bias):
        phase("special operands")
        if x == fmt.sign_bit | fmt.one:
            signal(Flags.DIVISION_BY_ZERO)
            return infinity_or_nan(constant(1, 1), fmt, options)
        return signal_invalid_operation(fmt, options)
    if base is power_series.E:
        value = natural(number, exponent, fmt, options)
    elif base == 2:
        value = binary(number, fmt, options)
    else:
        value = approximated(kernel, number, plan_of, base, fmt, options, True)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def kernel(x: Unpacked, plan: LogarithmPlan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The logarithm of 1 + x, x being above -1 and not 0."""
    exponent = exponent_of(x, fmt)
    return logarithm_of_one_and(x.sign, exponent, x.significand, fmt.bias - 1, plan, options)


def natural(x: Unpacked, exponent: Bits, fmt: BinaryFormat, options: Options) -> Approximation:
    """ln(1 + x); with the exponent field at hand."""
    least = fmt.bias - fmt.precision
    if least < 1:
        return approximated(kernel, x, plan_of, power_series.E, fmt, options, False)
    if exponent < least:
        bits = precision_of(fmt, options).fast
        value = next_to_argument(x, ~x.sign, bits, x.exponent.width, fmt)
    else:
        value = approximated(kernel, x, plan_of, power_series.E, fmt, options, False)
    return value


def binary(x: Unpacked, fmt: BinaryFormat, options: Options) -> Approximation:
    """log2(1 + x).

    1 + x is a power of two if 2^p - S is 2^i, and x = 2^k S / 2^(p - 1) is 2^(k + 1) - 1, so k = p - 1 - i,
    or 2^(i - p) - 1, so k = -1. For a power of two of p + 2 and more the result is its exponent and less than
    any boundary next to it is away.
    """
    phase("power of two")
    exponent = exponent_of(x, fmt)
    beyond = resize((1 << fmt.precision) - x.significand, fmt.precision)
    known, little, whole = constant(0, 1), constant(0, 1), constant(1, exponent.width)
    if (beyond & (beyond - 1)) == 0:
        zeros = leading_zeros(beyond, options)
        minus_one = (1 << exponent.width) - 1
        exact = select(x.sign, exponent == minus_one, exponent == zeros)
        less = subtract_modulo(minus_one, zeros, exponent.width)
        more = add_modulo(exponent, 1, exponent.width)
        is_large = exponent >= fmt.precision + 2  # or negative
        little = (zeros == 0) & is_large & ~field(exponent, exponent.width - 1, 1)
        known = exact | little
        whole = select(little, exponent, select(x.sign, less, more))
    if known:
        value = as_number(whole, fmt, options)
        value = Approximation(value.sign, value.exponent_less_one, value.significand | little)
    else:
        value = approximated(kernel, x, plan_of, 2, fmt, options, False)
    return value
