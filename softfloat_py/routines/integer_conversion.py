"""Conversion from and to integers of 8 to 64 bits (IEEE 754-2019, clauses 5.4.1 and 5.8).

Signed integers are two's complement numbers. Where the result does not exist, the operation is invalid and
delivers what `options.integer_overflow` says: the nearest integer there is, and 0 for a NaN (saturation, as
Arm's FCVT instructions have it); or the one integer that stands for all of them, only the top bit set where
it is signed (Intel 64 and IA-32 SDM, volume 1, "integer indefinite") and all bits set where it is not (the
same manual's VCVTTPS2UDQ). All from memory.
"""

from __future__ import annotations

from softfloat_py.environment import DIRECTION_BITS, Flags, Rounding
from softfloat_py.formats import BinaryFormat, IntegerFormat
from softfloat_py.options import IntegerOverflow, Options
from softfloat_py.routines.exponent_range import overflowing_exponent_less_one
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
from softfloat_py.routines.rounding import encode_rounded, rounded_up_or_down, shift_right_far
from softfloat_py.routines.special_operands import is_nan
from softfloat_py.routines.unpacking import is_special, unpack


def convert_from_integer(
    value: Bits, direction: Bits, fmt: BinaryFormat, options: Options, integer: IntegerFormat
) -> Bits:
    """An integer, two's complement if it is signed, in format `fmt`. Signals overflow, inexact.

    Shifted left until its highest set bit is on top, the magnitude is a significand with a leading one.
    """
    phase("unpack")
    if value == 0:
        return constant(0, fmt.width)
    sign, magnitude = sign_and_magnitude(value, integer)
    phase("normalise")
    zeros = leading_zeros(magnitude, options)
    distance = resize(zeros, (value.width - 1).bit_length())
    significand = shift_left(magnitude, distance, value.width) << max(fmt.precision + 2 - value.width, 0)
    exponent_less_one = constant(fmt.bias + value.width - 2, fmt.exponent_bits + 8) - zeros
    limit = overflowing_exponent_less_one(fmt)
    exponent_less_one = resize(select(exponent_less_one > limit, limit, exponent_less_one), fmt.exponent_bits)
    return encode_rounded(sign, exponent_less_one, significand, constant(0, 1), direction, fmt, options)


def sign_and_magnitude(value: Bits, integer: IntegerFormat) -> tuple[Bits, Bits]:
    """An integer's sign bit, and its magnitude in as many bits as it has."""
    if not integer.signed:
        return constant(0, 1), value
    sign = field(value, value.width - 1, 1)
    return sign, select(sign, subtract_modulo(0, value, value.width), value)


def convert_to_integer(
    x: Bits, direction: Bits, fmt: BinaryFormat, options: Options, integer: IntegerFormat
) -> Bits:
    """x rounded to an integer. Signals invalid operation where there is no such integer, and nothing else."""
    return rounded_to_integer(x, direction, fmt, options, integer, exact=False)


def convert_to_integer_exact(
    x: Bits, direction: Bits, fmt: BinaryFormat, options: Options, integer: IntegerFormat
) -> Bits:
    """x rounded to an integer. Signals invalid operation where there is no such integer, and inexact where
    there is but x is not it.
    """
    return rounded_to_integer(x, direction, fmt, options, integer, exact=True)


def convert_to_integer_toward_zero(
    x: Bits, fmt: BinaryFormat, options: Options, integer: IntegerFormat
) -> Bits:
    """x without its fraction, as C converts a number to an integer. Signals invalid operation where there is
    no such integer, and nothing else.
    """
    toward_zero = constant(int(Rounding.TOWARD_ZERO), DIRECTION_BITS)
    return rounded_to_integer(x, toward_zero, fmt, options, integer, exact=False)


def rounded_to_integer(
    x: Bits, direction: Bits, fmt: BinaryFormat, options: Options, integer: IntegerFormat, exact: bool
) -> Bits:
    """x rounded to an integer; `exact` says that a lost fraction is signalled.

    The significand starts where the largest magnitude of `width` bits has it, above at least two bits of
    fraction, and is shifted right from there, what is lost being kept as a sticky bit. The range is asked
    after rounding: -1/4 rounded up is in the range of an unsigned integer.
    """
    phase("unpack")
    a = unpack(x, fmt, options)
    width = integer.width
    lowest_too_large = fmt.bias + width
    if lowest_too_large <= fmt.largest_exponent_field:
        phase("out of range")
        if a.exponent >= lowest_too_large:
            return out_of_range(x, a.sign, fmt, options, integer)
    elif options.special:
        phase("out of range")
        if is_special(x, fmt):
            return out_of_range(x, a.sign, fmt, options, integer)
    phase("align")
    fraction_bits = max(fmt.precision - width, 0) + 2
    register = width + fraction_bits
    placed = a.significand << (register - fmt.precision)
    distance = constant(fmt.bias + width - 1, fmt.exponent_bits + 8) - a.exponent
    shifted = shift_right_far(placed, distance)

    phase("round")
    magnitude = rounded_up_or_down(shifted, fraction_bits, a.sign, direction)
    if magnitude > largest_magnitude(a.sign, integer):
        return out_of_range(x, a.sign, fmt, options, integer)
    if exact:
        signal(Flags.INEXACT, field(shifted, 0, fraction_bits) != 0)
    phase("pack")
    magnitude = resize(magnitude, width)
    if not integer.signed:
        return magnitude
    return select(a.sign, subtract_modulo(0, magnitude, width), magnitude)


def largest_magnitude(sign: Bits, integer: IntegerFormat) -> Bits:
    """The largest magnitude of an integer of this sign: signed, one more below zero than above."""
    if integer.signed:
        return sign + constant(integer.highest, integer.width)
    return select(sign, constant(0, integer.width), constant(integer.highest, integer.width))


def out_of_range(x: Bits, sign: Bits, fmt: BinaryFormat, options: Options, integer: IntegerFormat) -> Bits:
    """What the options say is delivered where there is no such integer; always invalid."""
    signal(Flags.INVALID_OPERATION)
    width = integer.width
    if options.integer_overflow is IntegerOverflow.INDEFINITE:
        return constant(1 << (width - 1) if integer.signed else integer.highest, width)
    # In two's complement the lowest signed integer follows the highest one.
    nearest = largest_magnitude(sign, integer)
    nearest = resize(nearest, width)
    if options.special:
        return select(is_nan(x, fmt), constant(0, width), nearest)
    return nearest
