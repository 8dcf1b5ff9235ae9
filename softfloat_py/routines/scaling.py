"""Scaling by powers of two, and the exponent of a number (IEEE 754-2019, clause 5.3.3: scaleB and logB)."""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    phase,
    resize,
    select,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, nan_of_one, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_reserved,
    is_special,
    unpack_normal,
    unpack_with_leading_one,
)

LOGARITHM_BITS = 32


def scale_b(x: Bits, n: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x × 2^n, n a two's complement integer of 32 bits, rounded where it overflows or is subnormal.

    Signals invalid operation (signalling NaN), overflow, underflow, inexact. C's scalbn.
    """
    phase("unpack")
    a = unpack_normal(x, fmt)
    if is_reserved(a.exponent, fmt):
        phase("special operands")
        if options.special:
            if is_special(x, fmt):
                if is_nan(x, fmt):
                    return nan_of_one(x, fmt, options)
                return x
        if counts_as_zero(x, fmt, options):
            return zero(a.sign, fmt)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)

    phase("scale")
    exponent_less_one = scaled_exponent_less_one(a.exponent, n, fmt)
    return round_to_format(a.sign, exponent_less_one, a.significand << 2, direction, fmt, options)


def scaled_exponent_less_one(exponent: Bits, n: Bits, fmt: BinaryFormat) -> Bits:
    """exponent + n - 1 as a two's complement number of `signed_exponent_bits(fmt)`.

    n is limited to the distance from the lowest exponent to beyond the highest, which is sure to overflow,
    and back, which leaves nothing but a sticky bit. To be compared as unsigned numbers, two's complement
    numbers are moved up by half their range.
    """
    limit = fmt.largest_exponent_field + fmt.precision
    half_range = 1 << (n.width - 1)
    moved = n ^ half_range
    moved = select(moved < half_range - limit, half_range - limit, moved)
    moved = select(moved > half_range + limit, half_range + limit, moved)
    from_lowest = resize(moved - (half_range - limit), (2 * limit).bit_length())
    width = signed_exponent_bits(fmt)
    return subtract_modulo(add_modulo(exponent, from_lowest, width), limit + 1, width)


def log_b(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The exponent of x, as if subnormal numbers were normal: the integer k with 2^k <= |x| < 2^(k+1).

    A two's complement integer of 32 bits. Zero, infinity and NaN are invalid and give integers that no
    exponent comes near: -2^31 for zero, 2^31 - 1 for the others. C's ilogb.
    """
    phase("unpack")
    a = unpack_normal(x, fmt)
    if is_reserved(a.exponent, fmt):
        phase("special operands")
        if options.special:
            if is_special(x, fmt):
                signal(Flags.INVALID_OPERATION)
                return constant((1 << (LOGARITHM_BITS - 1)) - 1, LOGARITHM_BITS)
        if counts_as_zero(x, fmt, options):
            signal(Flags.INVALID_OPERATION)
            return constant(1 << (LOGARITHM_BITS - 1), LOGARITHM_BITS)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)
    phase("exponent")
    # The lowest exponent is that of the smallest subnormal number, 2 - p: adding p leaves none below zero.
    from_lowest = add_modulo(a.exponent, fmt.precision, signed_exponent_bits(fmt))
    return subtract_modulo(from_lowest, fmt.bias + fmt.precision, LOGARITHM_BITS)
