"""Taking an encoding apart (IEEE 754-2019, clause 3.4).

A finite number is significand × 2^(exponent - bias - t), its significand an integer of p bits. A subnormal
number has the exponent field 0, means exponent 1, and lacks the leading one.

Most operands are normal numbers, and operations are made quick for these. `unpack_normal` reads any encoding
as if it were one: it decides nothing, and what it makes of any other is harmless. One test of each exponent
field (`is_reserved`) then tells whether all operands were normal. Where one was not, what was read is thrown
away: special operands and zeros leave with results of their own, and all that goes on is unpacked again, by
`unpack_with_leading_one`, which knows subnormal numbers. Where the exponent fields are wanted first, the same
is done without reading twice, each way on its side of the test.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    constant,
    field,
    resize,
    select,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros


class Unpacked(NamedTuple):
    """A finite operand: its sign, its biased exponent and its significand of p bits.

    Where subnormal numbers have a leading one, the exponent is a two's complement number.
    """

    sign: Bits
    exponent: Bits
    significand: Bits


def sign_of(x: Bits, fmt: BinaryFormat) -> Bits:
    """The sign bit."""
    return field(x, fmt.width - 1, 1)


def magnitude_of(x: Bits, fmt: BinaryFormat) -> Bits:
    """The encoding without its sign; it orders as the absolute values do."""
    return field(x, 0, fmt.width - 1)


def exponent_field(x: Bits, fmt: BinaryFormat) -> Bits:
    """The biased exponent as stored."""
    return field(x, fmt.trailing_bits, fmt.exponent_bits)


def is_special(x: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x is an infinity or a NaN."""
    if not fmt.has_infinity:
        return magnitude_of(x, fmt) == fmt.first_special
    return exponent_field(x, fmt) == fmt.largest_exponent_field


def is_special_with(exponent: Bits, magnitude: Bits, fmt: BinaryFormat) -> Bits:
    """As `is_special`, of a magnitude whose exponent field is at hand."""
    if not fmt.has_infinity:
        return magnitude == fmt.first_special
    return exponent == fmt.largest_exponent_field


def counts_as_zero(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether x is a zero, or a subnormal number that the options flush to one."""
    if options.subnormal_operands:
        return magnitude_of(x, fmt) == 0
    return exponent_field(x, fmt) == 0


def counts_as_zero_with(exponent: Bits, magnitude: Bits, options: Options) -> Bits:
    """As `counts_as_zero`, of a number whose exponent field and magnitude are at hand."""
    return magnitude == 0 if options.subnormal_operands else exponent == 0


def unpack(x: Bits, fmt: BinaryFormat, options: Options) -> Unpacked:
    """A finite x in parts, subnormal numbers included, without a branch.

    The exponent field 0 is read as 1 by setting its lowest bit, and its leading bit is not set.
    """
    stored = exponent_field(x, fmt)
    normal = stored != 0
    trailing = field(x, 0, fmt.trailing_bits)
    if not options.subnormal_operands:
        trailing = select(normal, trailing, constant(0, fmt.trailing_bits))
    return Unpacked(sign_of(x, fmt), stored | ~normal, concatenate(normal, trailing))


def unpack_normal(x: Bits, fmt: BinaryFormat) -> Unpacked:
    """A normal x in parts, with room for the exponents that `unpack_with_leading_one` delivers."""
    return unpack_normal_with(exponent_field(x, fmt), x, fmt)


def unpack_normal_with(exponent: Bits, x: Bits, fmt: BinaryFormat) -> Unpacked:
    """As `unpack_normal`, of a number whose exponent field is at hand."""
    exponent = resize(exponent, signed_exponent_bits(fmt))
    return Unpacked(sign_of(x, fmt), exponent, normal_significand(x, fmt))


def normal_significand(x: Bits, fmt: BinaryFormat) -> Bits:
    """The significand of a normal number."""
    return field(x, 0, fmt.trailing_bits) | fmt.leading_one


def is_reserved(exponent: Bits, fmt: BinaryFormat) -> Bits:
    """Whether a stored exponent is 0 or all ones: the values that clause 3.4 reserves (from memory) for zeros
    and subnormal numbers, and for infinities and NaNs. Without infinities most numbers with all ones are
    normal, and lose no more than time.

    Subtracting one turns the 0 into the largest number there is, so one comparison finds both.
    """
    return subtract_modulo(exponent, 1, fmt.exponent_bits) >= fmt.largest_exponent_field - 1


def unpack_nonzero_with(exponent: Bits, x: Bits, fmt: BinaryFormat, options: Options) -> Unpacked:
    """As `unpack_with_leading_one`, of a number whose exponent field is at hand; quick for a normal one."""
    parts = unpack_normal_with(exponent, x, fmt)
    if exponent == 0:
        parts = unpack_with_leading_one(x, fmt, options)
    return parts


def unpack_with_leading_one(x: Bits, fmt: BinaryFormat, options: Options) -> Unpacked:
    """A finite x that does not count as zero in parts, a subnormal significand shifted up until it has its
    leading one.

    The exponent becomes a two's complement number of `signed_exponent_bits(fmt)`, since it can fall
    below zero.
    """
    if not options.subnormal_operands:
        return unpack_normal(x, fmt)
    parts = unpack(x, fmt, options)
    zeros = leading_zeros(parts.significand, options)
    return Unpacked(
        parts.sign,
        subtract_modulo(parts.exponent, zeros, signed_exponent_bits(fmt)),
        shift_left(parts.significand, zeros, fmt.precision),
    )
