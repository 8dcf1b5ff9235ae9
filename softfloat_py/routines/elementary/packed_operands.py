"""Operands as they are kept from one phase to the next: magnitudes packed into a word, in which every number
is normal.

A number that is taken apart fills three registers, and what the accurate phase may need is kept all through
the fast one. Packed, as in an encoding, it is one, and taking it apart again is a few steps. Exponents are
lifted by p - 1, so that those of subnormal numbers with a leading one, 2 - p and more, are positive too.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    field,
    phase,
    resize,
    select,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.unpacking import (
    Unpacked,
    magnitude_of,
    normal_significand,
    unpack_with_leading_one,
)


def lift(fmt: BinaryFormat) -> int:
    """What is added to biased exponents."""
    return fmt.precision - 1


def packed_width(fmt: BinaryFormat) -> int:
    """Bits of a packed magnitude."""
    return (fmt.largest_exponent_field + lift(fmt)).bit_length() + fmt.trailing_bits


def packed_normal(x: Bits, fmt: BinaryFormat) -> Bits:
    """The magnitude of a normal number."""
    return resize(magnitude_of(x, fmt) + (lift(fmt) << fmt.trailing_bits), packed_width(fmt))


def packed(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The magnitude of a finite number that does not count as zero."""
    parts = unpack_with_leading_one(x, fmt, options)
    less_one = add_modulo(parts.exponent, lift(fmt) - 1, parts.exponent.width)
    exponent_bits = packed_width(fmt) - fmt.trailing_bits
    # the leading one makes it one more
    return resize(
        (resize(less_one, exponent_bits) << fmt.trailing_bits) + parts.significand, packed_width(fmt)
    )


def taken_apart(magnitude: Bits, sign: Bits, offset: int, exponent_bits: int, fmt: BinaryFormat) -> Unpacked:
    """A packed magnitude in parts, with a sign; the exponent, biased and with `offset` added, is a two's
    complement number of `exponent_bits`.
    """
    down = (lift(fmt) - offset) % (1 << exponent_bits)
    exponent = subtract_modulo(exponent_of(magnitude, fmt), down, exponent_bits)
    return Unpacked(sign, exponent, normal_significand(magnitude, fmt))


def exponent_of(magnitude: Bits, fmt: BinaryFormat) -> Bits:
    """The exponent of a packed magnitude, with the bias and the lift, which is not negative."""
    return magnitude >> fmt.trailing_bits


def is_at_least(magnitude: Bits, exponent: int, fmt: BinaryFormat) -> Bits:
    """Whether a packed magnitude is 2^exponent or more."""
    return magnitude >= (exponent + fmt.bias + lift(fmt)) << fmt.trailing_bits


def integer_taken_apart(n: Bits, exponent_bits: int, options: Options) -> Unpacked:
    """A two's complement integer other than zero as a number with a leading one on top, whose exponent is not
    biased, a two's complement number of `exponent_bits`.
    """
    phase("unpack")
    sign = field(n, n.width - 1, 1)
    size = select(sign, subtract_modulo(0, n, n.width), n)
    zeros = leading_zeros(size, options)
    exponent = subtract_modulo(n.width - 1, zeros, exponent_bits)
    return Unpacked(sign, exponent, shift_left(size, zeros, n.width))


def sign_extended(x: Bits, width: int) -> Bits:
    """A two's complement number in a width that is not less than it has."""
    half = 1 << (x.width - 1)
    return x if x.width == width else subtract_modulo(x ^ half, half, width)
