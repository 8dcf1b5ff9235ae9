"""Operations on the sign bit (IEEE 754-2019, clause 5.5.1) and questions about the class (clause 5.7.2).

None of them signals anything, not even for a signalling NaN, and none reads subnormal numbers as zeros,
whatever the options say: they look at the encoding as it is.
"""

from __future__ import annotations

from enum import IntEnum

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines import special_operands, unpacking
from softfloat_py.routines.language import Bits, move, phase, resize, select


class FloatClass(IntEnum):
    """The ten classes of the operation `classify` (IEEE 754-2019, clause 5.7.2), in the standard's order.

    From NEGATIVE_INFINITY to POSITIVE_INFINITY they are numbered as their members are ordered.
    """

    SIGNALING_NAN = 0
    QUIET_NAN = 1
    NEGATIVE_INFINITY = 2
    NEGATIVE_NORMAL = 3
    NEGATIVE_SUBNORMAL = 4
    NEGATIVE_ZERO = 5
    POSITIVE_ZERO = 6
    POSITIVE_SUBNORMAL = 7
    POSITIVE_NORMAL = 8
    POSITIVE_INFINITY = 9


def copy(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x as it is: a move from one place to another."""
    phase("sign")
    return move(x)


def negate(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x with its sign bit flipped."""
    phase("sign")
    return x ^ fmt.sign_bit


def absolute(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x with its sign bit cleared (the standard's abs)."""
    phase("sign")
    return resize(unpacking.magnitude_of(x, fmt), fmt.width)


def copy_sign(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x with the sign bit of y."""
    phase("sign")
    return unpacking.magnitude_of(x, fmt) | y & fmt.sign_bit


def is_sign_minus(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether the sign bit is set, zeros and NaNs included."""
    phase("classify")
    return unpacking.sign_of(x, fmt)


def is_zero(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is +0 or -0."""
    phase("classify")
    return unpacking.magnitude_of(x, fmt) == 0


def is_subnormal(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is subnormal."""
    phase("classify")
    magnitude = unpacking.magnitude_of(x, fmt)
    return (magnitude != 0) & (magnitude < fmt.smallest_normal)


def is_normal(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is normal: neither zero, subnormal, infinite nor NaN."""
    phase("classify")
    exponent = unpacking.exponent_field(x, fmt)
    if not fmt.has_infinity:
        return (exponent != 0) & ~special_operands.is_nan(x, fmt)
    return ~unpacking.is_reserved(exponent, fmt)


def is_finite(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is zero, subnormal or normal."""
    phase("classify")
    return unpacking.magnitude_of(x, fmt) < fmt.first_special


def is_infinite(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is an infinity."""
    phase("classify")
    return special_operands.is_infinite(x, fmt)


def is_nan(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is a NaN."""
    phase("classify")
    return special_operands.is_nan(x, fmt)


def is_signaling(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is a signalling NaN."""
    phase("classify")
    return special_operands.is_signaling(x, fmt)


def classify(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Which of the ten classes x belongs to, a member of FloatClass (the standard's class).

    The limits between zero, subnormal, normal and infinite magnitudes that x reaches lead from one class to
    the next, on either side of zero.
    """
    phase("classify")
    magnitude = unpacking.magnitude_of(x, fmt)
    limits = (magnitude != 0) + (magnitude >= fmt.smallest_normal) + (magnitude >= fmt.first_special)
    negative = FloatClass.NEGATIVE_ZERO - limits
    positive = FloatClass.POSITIVE_ZERO + limits
    of_number = select(unpacking.sign_of(x, fmt), negative, positive)
    of_nan = select(special_operands.is_signaling(x, fmt), FloatClass.SIGNALING_NAN, FloatClass.QUIET_NAN)
    return select(special_operands.is_nan(x, fmt), of_nan, of_number)
