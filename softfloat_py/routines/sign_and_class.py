"""Operations on the sign bit (IEEE 754-2019, clause 5.5.1) and questions about the class (clause 5.7.2).

None of them signals anything, not even for a signalling NaN.
"""

from __future__ import annotations

from softfloat_py.formats import Format
from softfloat_py.options import Options
from softfloat_py.routines import special_operands, unpacking
from softfloat_py.routines.language import Bits, phase, resize


def negate(x: Bits, fmt: Format, options: Options) -> Bits:
    """x with its sign bit flipped."""
    phase("sign")
    return x ^ fmt.sign_bit


def absolute(x: Bits, fmt: Format, options: Options) -> Bits:
    """x with its sign bit cleared (the standard's abs)."""
    phase("sign")
    return resize(unpacking.magnitude_of(x, fmt), fmt.width)


def is_sign_minus(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether the sign bit is set, zeros and NaNs included."""
    phase("classify")
    return unpacking.sign_of(x, fmt)


def is_zero(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether x is +0 or -0."""
    phase("classify")
    return unpacking.magnitude_of(x, fmt) == 0


def is_subnormal(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether x is subnormal."""
    phase("classify")
    magnitude = unpacking.magnitude_of(x, fmt)
    return (magnitude != 0) & (magnitude < fmt.smallest_normal)


def is_normal(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether x is normal: neither zero, subnormal, infinite nor NaN."""
    phase("classify")
    exponent = unpacking.exponent_field(x, fmt)
    if not fmt.has_infinity:
        return (exponent != 0) & ~special_operands.is_nan(x, fmt)
    return ~unpacking.is_extreme(exponent, fmt)


def is_finite(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether x is zero, subnormal or normal."""
    phase("classify")
    return unpacking.magnitude_of(x, fmt) < fmt.first_special


def is_infinite(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether x is an infinity."""
    phase("classify")
    return special_operands.is_infinite(x, fmt)


def is_nan(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether x is a NaN."""
    phase("classify")
    return special_operands.is_nan(x, fmt)


def is_signaling(x: Bits, fmt: Format, options: Options) -> Bits:
    """Whether x is a signalling NaN."""
    phase("classify")
    return special_operands.is_signaling(x, fmt)
