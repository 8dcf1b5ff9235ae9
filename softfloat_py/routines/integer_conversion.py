"""Conversion from and to signed integers of 8 to 64 bits (IEEE 754-2019, clauses 5.4.1 and 5.8).

Integers are two's complement numbers. Where the result does not exist, the operation is invalid and delivers,
by this library's convention: the nearest integer there is for a number or infinity, 0 for a NaN (saturation,
as Arm's FCVT instructions have it; from memory).
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import Format
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    constant,
    count_leading_zeros,
    field,
    phase,
    resize,
    select,
    shift_left,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.rounding import encode_rounded, rounded_up_or_down, shift_right_sticky
from softfloat_py.routines.special_operands import is_nan
from softfloat_py.routines.unpacking import unpack


def convert_from_integer(value: Bits, direction: Bits, fmt: Format, options: Options) -> Bits:
    """A two's complement integer in format `fmt`. Signals overflow, inexact.

    Shifted left until its highest set bit is on top, the magnitude is a significand with a leading one.
    """
    phase("unpack")
    if value == 0:
        return constant(0, fmt.width)
    sign = field(value, value.width - 1, 1)
    magnitude = select(sign, subtract_modulo(0, value, value.width), value)
    phase("normalise")
    zeros = count_leading_zeros(magnitude)
    distance = resize(zeros, (value.width - 1).bit_length())
    significand = shift_left(magnitude, distance, value.width) << max(fmt.precision + 2 - value.width, 0)
    exponent_below = constant(fmt.bias + value.width - 2, fmt.exponent_bits + 8) - zeros
    limit = fmt.largest_exponent_field - 1
    exponent_below = resize(select(exponent_below > limit, limit, exponent_below), fmt.exponent_bits)
    return encode_rounded(sign, exponent_below, significand, constant(0, 1), direction, fmt)


def convert_to_integer(x: Bits, direction: Bits, fmt: Format, options: Options, width: int) -> Bits:
    """x rounded to a two's complement integer of `width` bits. Signals invalid operation only: the standard's
    convertToInteger operations that also signal inexact are those named Exact.

    The significand starts where the largest magnitude in range has it, above at least two bits of fraction,
    and is shifted right from there, what is lost being kept as a sticky bit.
    """
    phase("unpack")
    a = unpack(x, fmt, options)
    lowest_too_large = fmt.bias + width
    if lowest_too_large <= fmt.largest_exponent_field or options.special:
        phase("out of range")
        if a.exponent >= min(lowest_too_large, fmt.largest_exponent_field):
            return out_of_range(x, a.sign, fmt, options, width)
    phase("align")
    fraction_bits = max(fmt.precision - width, 0) + 2
    register = width + fraction_bits
    placed = a.significand << (register - fmt.precision)
    distance = constant(fmt.bias + width - 1, fmt.exponent_bits + 8) - a.exponent
    limit = register - 1
    distance = resize(select(distance > limit, limit, distance), limit.bit_length())
    shifted = shift_right_sticky(placed, distance)

    phase("round")
    magnitude = rounded_up_or_down(shifted, fraction_bits, a.sign, direction)
    largest = (1 << (width - 1)) - 1
    if magnitude > a.sign + constant(largest, width):
        return out_of_range(x, a.sign, fmt, options, width)
    phase("pack")
    magnitude = resize(magnitude, width)
    return select(a.sign, subtract_modulo(0, magnitude, width), magnitude)


def out_of_range(x: Bits, sign: Bits, fmt: Format, options: Options, width: int) -> Bits:
    """The nearest integer there is, or 0 for a NaN; always invalid."""
    signal(Flags.INVALID_OPERATION)
    nearest = constant((1 << (width - 1)) - 1, width) + sign
    nearest = resize(nearest, width)
    if options.special:
        return select(is_nan(x, fmt), constant(0, width), nearest)
    return nearest
