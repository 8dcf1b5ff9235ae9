"""From results that a format holds exactly to their encodings: nothing is rounded, no flag is raised.

Only where the options deliver no subnormal numbers does such a result change: one below the normal range
becomes a zero, with the flags that `rounding.flushed` raises.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    field,
    phase,
    resize,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.rounding import flushed
from softfloat_py.routines.special_operands import flush_operand
from softfloat_py.routines.unpacking import Unpacked, exponent_field, magnitude_of, sign_of


def operand_as_result(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A finite operand where it is the exact result too."""
    if not options.subnormal_operands:
        return flush_operand(x, fmt)
    if not options.subnormal_results:
        if (exponent_field(x, fmt) == 0) & (magnitude_of(x, fmt) != 0):
            return flushed(sign_of(x, fmt), fmt)
    return x


def nonzero_as_result(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A finite operand that does not count as zero where it is the exact result too."""
    if options.subnormal_operands and not options.subnormal_results:
        if exponent_field(x, fmt) == 0:
            return flushed(sign_of(x, fmt), fmt)
    return x


def normalised(sign: Bits, exponent: Bits, magnitude: Bits, fmt: BinaryFormat, options: Options) -> Unpacked:
    """A magnitude of p bits or more, of which p hold all that is set, with its leading one on top.

    `exponent` is a two's complement number and belongs to the top bit; magnitude must not be zero.
    """
    phase("normalise")
    zeros = leading_zeros(magnitude, options)
    shifted = shift_left(magnitude, zeros, magnitude.width)
    exponent = subtract_modulo(exponent, zeros, exponent.width)
    return Unpacked(sign, exponent, shifted >> (magnitude.width - fmt.precision))


def is_below_normal_range(exponent_below: Bits) -> Bits:
    """Whether a biased exponent less one, a two's complement number, is that of no normal number."""
    return field(exponent_below, exponent_below.width - 1, 1)


def encode_exact(
    sign: Bits, exponent_below: Bits, magnitude: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """The encoding of a number that the format has and that is not zero, of any magnitude.

    exponent_below is the biased exponent of the top bit, less one, in two's complement.
    """
    parts = normalised(sign, exponent_below, magnitude, fmt, options)
    if is_below_normal_range(parts.exponent):
        return encode_subnormal(parts, fmt, options)
    return pack(parts, fmt)


def encode_subnormal(parts: Unpacked, fmt: BinaryFormat, options: Options) -> Bits:
    """The encoding of a number with its leading one whose exponent less one is negative."""
    phase("below normal range")
    if not options.subnormal_results:
        return flushed(parts.sign, fmt)
    distance = subtract_modulo(0, parts.exponent, parts.exponent.width)
    distance = resize(distance, fmt.trailing_bits.bit_length())
    shifted = resize(parts.significand >> distance, fmt.width - 1)
    return concatenate(parts.sign, shifted)


def pack(parts: Unpacked, fmt: BinaryFormat) -> Bits:
    """The encoding of a normal number with its leading one and its biased exponent less one."""
    phase("pack")
    exponent_below = resize(parts.exponent, fmt.exponent_bits)
    encoded = (exponent_below << fmt.trailing_bits) + parts.significand
    return concatenate(parts.sign, resize(encoded, fmt.width - 1))
