"""What operations deliver for infinities and NaNs, and the signed zeros and infinities they start from.

Which NaN comes out is a convention (IEEE 754-2019, clause 6.2.3 recommends, but does not require, that an
operand's payload be passed on): the default NaN, or an operand made quiet. An operation that is invalid
delivers the default NaN always (clause 6.2.1).
"""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import NaNResult, Options
from softfloat_py.routines.language import Bits, concatenate, constant, field, select, signal
from softfloat_py.routines.unpacking import exponent_field, magnitude_of, sign_of


def zero(sign: Bits, fmt: BinaryFormat) -> Bits:
    """A zero of this sign."""
    return concatenate(sign, constant(0, fmt.width - 1))


def one(sign: Bits, fmt: BinaryFormat) -> Bits:
    """1 or -1."""
    return concatenate(sign, constant(fmt.one, fmt.width - 1))


def infinity_or_nan(sign: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """An infinity of this sign; the default NaN in a format that has none."""
    if not fmt.has_infinity:
        return default_nan(fmt, options)
    return concatenate(sign, constant(fmt.infinity, fmt.width - 1))


def exact_zero_sum(direction: Bits, fmt: BinaryFormat) -> Bits:
    """The zero that x - x delivers: negative toward negative only (clause 6.3)."""
    return zero(direction == Rounding.TOWARD_NEGATIVE, fmt)


def is_nan(x: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x is a NaN."""
    if not fmt.has_infinity:
        return magnitude_of(x, fmt) == fmt.first_special
    return magnitude_of(x, fmt) > fmt.infinity


def is_signaling(x: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x is a signalling NaN: a NaN whose quiet bit is clear (clause 6.2.1)."""
    if not fmt.has_infinity:
        return constant(0, 1)
    return is_nan(x, fmt) & ~field(x, fmt.trailing_bits - 1, 1)


def is_infinite(x: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x is an infinity."""
    if not fmt.has_infinity:
        return constant(0, 1)
    return magnitude_of(x, fmt) == fmt.infinity


def default_nan(fmt: BinaryFormat, options: Options) -> Bits:
    """The default NaN of the options."""
    return constant(options.default_nan(fmt), fmt.width)


def signal_invalid_operation(fmt: BinaryFormat, options: Options) -> Bits:
    """Signal an invalid operation and deliver the default NaN (clause 7.2)."""
    signal(Flags.INVALID_OPERATION)
    return default_nan(fmt, options)


def nan_of_one(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The result of an operation on one NaN: invalid if it signals."""
    signal(Flags.INVALID_OPERATION, is_signaling(x, fmt))
    if options.nan is NaNResult.CANONICAL:
        return default_nan(fmt, options)
    return x | fmt.quiet_bit


def nan_of_two(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The result of an operation on two operands of which one is a NaN: invalid if either signals."""
    signal(Flags.INVALID_OPERATION, is_signaling(x, fmt) | is_signaling(y, fmt))
    if options.nan is NaNResult.CANONICAL:
        return default_nan(fmt, options)
    return nan_passed_on(x, y, fmt, options) | fmt.quiet_bit


def nan_of_three(x: Bits, y: Bits, z: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The result of an operation on three operands of which one is a NaN: invalid if any signals."""
    signaling = is_signaling(x, fmt) | is_signaling(y, fmt) | is_signaling(z, fmt)
    signal(Flags.INVALID_OPERATION, signaling)
    if options.nan is NaNResult.CANONICAL:
        return default_nan(fmt, options)
    return nan_passed_on(nan_passed_on(x, y, fmt, options), z, fmt, options) | fmt.quiet_bit


def nan_passed_on(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Which of two operands is passed on, one of them being a NaN: it lies above all numbers in magnitude.

    Of two NaNs with equal payloads, the larger one is the positive one.
    """
    if options.nan is NaNResult.FIRST_OPERAND:
        return select(is_nan(x, fmt), x, y)
    first, second = magnitude_of(x, fmt), magnitude_of(y, fmt)
    return select((second < first) | ((first == second) & ~sign_of(x, fmt)), x, y)


def flush_operand(x: Bits, fmt: BinaryFormat) -> Bits:
    """x, or a zero of its sign if it is subnormal."""
    return select(exponent_field(x, fmt) == 0, x & fmt.sign_bit, x)
