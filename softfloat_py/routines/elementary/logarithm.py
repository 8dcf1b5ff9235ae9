"""ln x, log2 x and log10 x (IEEE 754-2019, clause 9.2), called log, log2 and log10.

x = 2^e m, and the logarithm of that is computed by `logarithm_core`, which says why it is right.

Exact are log2 of a power of two, which is told by its significand and whose exponent is the result, and log10
of a power of ten, which no other logarithm is so near to as the error of the accurate phase.

Special operands, by clause 9.2.1 (from memory): the logarithm of 1 is +0, that of either zero minus infinity
with division by zero, that of +infinity itself; below zero the operation is invalid.
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.fixed_point import fitted
from softfloat_py.routines.elementary.logarithm_core import (
    LogarithmPlan,
    index_bits,
    logarithm_of,
    logarithm_plan,
)
from softfloat_py.routines.elementary.precisions import is_by_shifts, precision_of
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.language import (
    Bits,
    constant,
    field,
    phase,
    resize,
    select,
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
    is_special,
    sign_of,
    unpack_normal,
    unpack_with_leading_one,
)


def log(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The natural logarithm. Signals invalid operation (signalling NaN, x < 0), division by zero (x = 0),
    inexact.
    """
    return logarithm(x, direction, power_series.E, fmt, options)


def log2(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The binary logarithm, exact for powers of two. Signals as log does."""
    return logarithm(x, direction, 2, fmt, options)


def log10(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The decimal logarithm, exact for powers of ten. Signals as log does."""
    return logarithm(x, direction, 10, fmt, options)


def plan_of(bits: int, base: int | None, fmt: BinaryFormat, options: Options) -> LogarithmPlan:
    """The plan for a number of bits, and for every number of the format."""
    by_shifts = is_by_shifts(bits, fmt, options)
    width = max(fmt.precision, index_bits(options.tables, by_shifts) + 3)  # more than an index has
    return logarithm_plan(base, bits, width, whole_bits(fmt), options.tables, by_shifts)


def whole_bits(fmt: BinaryFormat) -> int:
    """Bits of the largest magnitude of an exponent in the format."""
    return (fmt.bias + fmt.precision).bit_length()


def logarithm(x: Bits, direction: Bits, base: int | None, fmt: BinaryFormat, options: Options) -> Bits:
    """The logarithm to a base."""
    phase("unpack")
    number = unpack_normal(x, fmt)
    # sign and exponent field as one number: 0 is that of zeros and subnormal numbers, and all that is not
    # positive and finite lies above
    if subtract_modulo(x >> fmt.trailing_bits, 1, fmt.exponent_bits + 1) >= fmt.largest_exponent_field - 1:
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if counts_as_zero(x, fmt, options):
            signal(Flags.DIVISION_BY_ZERO)
            return infinity_or_nan(constant(1, 1), fmt, options)
        if sign_of(x, fmt):
            return signal_invalid_operation(fmt, options)
        if options.special:
            if is_special(x, fmt):
                return x
        phase("unpack")
        number = unpack_with_leading_one(x, fmt, options)
    if x == fmt.one:
        return zero(constant(0, 1), fmt)
    if base == 2:
        if field(number.significand, 0, fmt.trailing_bits) == 0:
            value = as_number(exponent_of(number, fmt), fmt, options)
        else:
            value = approximated(kernel, number, plan_of, base, fmt, options, False)
    else:
        value = approximated(kernel, number, plan_of, base, fmt, options, base == 10)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def kernel(x: Unpacked, plan: LogarithmPlan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The logarithm of a positive number other than 1."""
    significand = x.significand << (plan.significand_bits - fmt.precision)
    return logarithm_of(exponent_of(x, fmt), significand, fmt.bias - 1, plan, options)


def exponent_of(x: Unpacked, fmt: BinaryFormat) -> Bits:
    """The exponent of a number without its bias, in two's complement."""
    return subtract_modulo(x.exponent, fmt.bias, x.exponent.width)


def as_number(exponent: Bits, fmt: BinaryFormat, options: Options) -> Approximation:
    """An exponent, which is not 0, as a number: what log2 of a power of two is, exactly."""
    phase("power of two")
    width, size_bits = exponent.width, whole_bits(fmt)
    sign = field(exponent, width - 1, 1)
    size = resize(select(sign, subtract_modulo(0, exponent, width), exponent), size_bits)
    zeros = leading_zeros(size, options)
    exponent_less_one = subtract_modulo(fmt.bias - 1 + size_bits - 1, zeros, width)
    significand = fitted(shift_left(size, zeros, size_bits), precision_of(fmt, options).fast + 1)
    return Approximation(sign, exponent_less_one, significand)
