"""What operations deliver for infinities and NaNs, and the signed zeros and infinities they start from.

Every NaN that comes out is the canonical one: positive, quiet, payload zero (IEEE 754-2019, clause 6.2
recommends but does not require that a payload be passed on).
"""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import Format
from softfloat_py.routines.language import Bits, concatenate, constant, field, select, signal
from softfloat_py.routines.unpacking import magnitude_of


def zero(sign: Bits, fmt: Format) -> Bits:
    """A zero of this sign."""
    return concatenate(sign, constant(0, fmt.width - 1))


def infinity(sign: Bits, fmt: Format) -> Bits:
    """An infinity of this sign."""
    return concatenate(sign, constant(fmt.infinity, fmt.width - 1))


def exact_zero_sum(direction: Bits, fmt: Format) -> Bits:
    """The zero that x - x delivers: negative toward negative only (clause 6.3)."""
    return zero(direction == Rounding.TOWARD_NEGATIVE, fmt)


def is_nan(x: Bits, fmt: Format) -> Bits:
    """Whether x is a NaN."""
    return magnitude_of(x, fmt) > fmt.infinity


def is_signaling(x: Bits, fmt: Format) -> Bits:
    """Whether x is a signalling NaN: a NaN whose quiet bit is clear (clause 6.2.1)."""
    return is_nan(x, fmt) & ~field(x, fmt.trailing_bits - 1, 1)


def is_infinite(x: Bits, fmt: Format) -> Bits:
    """Whether x is an infinity."""
    return magnitude_of(x, fmt) == fmt.infinity


def invalid(fmt: Format) -> Bits:
    """Signal an invalid operation and deliver the canonical NaN (clause 7.2)."""
    signal(Flags.INVALID_OPERATION)
    return constant(fmt.quiet_nan, fmt.width)


def nan_of_one(x: Bits, fmt: Format) -> Bits:
    """The result of an operation on one NaN: invalid if it signals."""
    signal(Flags.INVALID_OPERATION, is_signaling(x, fmt))
    return constant(fmt.quiet_nan, fmt.width)


def nan_of_two(x: Bits, y: Bits, fmt: Format) -> Bits:
    """The result of an operation on two operands of which one is a NaN: invalid if either signals."""
    signal(Flags.INVALID_OPERATION, is_signaling(x, fmt) | is_signaling(y, fmt))
    return constant(fmt.quiet_nan, fmt.width)


def zero_or(condition: Bits, x: Bits, fmt: Format) -> Bits:
    """x, or a zero of its sign where the condition is set."""
    return select(condition, x & fmt.sign_bit, x)
