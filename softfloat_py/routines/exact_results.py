"""From results that a format holds exactly to their encodings: nothing is rounded, no flag is raised.

Only where the options deliver no subnormal numbers does such a result change: one below the normal range
becomes a zero, with the flags that `rounding.flush_result` raises.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    field,
    phase,
    resize,
    subtract_modulo,
)
from softfloat_py.routines.normalisation import with_leading_one
from softfloat_py.routines.rounding import flush_result
from softfloat_py.routines.special_operands import flush_operand
from softfloat_py.routines.unpacking import exponent_field, magnitude_of, sign_of


class Placed(NamedTuple):
    """A number on the way to its encoding: its sign, the biased exponent of its significand's top bit less
    one, a two's complement number, and the significand.
    """

    sign: Bits
    exponent_less_one: Bits
    significand: Bits


def operand_as_result(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A finite operand where it is the exact result too."""
    if not options.subnormal_operands:
        return flush_operand(x, fmt)
    if not options.subnormal_results:
        if (exponent_field(x, fmt) == 0) & (magnitude_of(x, fmt) != 0):
            return flush_result(sign_of(x, fmt), fmt)
    return x


def nonzero_as_result(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A finite operand that does not count as zero where it is the exact result too."""
    if options.subnormal_operands and not options.subnormal_results:
        if exponent_field(x, fmt) == 0:
            return flush_result(sign_of(x, fmt), fmt)
    return x


def normalised(
    sign: Bits, exponent_less_one: Bits, magnitude: Bits, fmt: BinaryFormat, options: Options
) -> Placed:
    """A magnitude of p bits or more, of which p hold all that is set, with its leading one on top of p bits.

    The exponent is that of the top bit, in two's complement; magnitude must not be zero.
    """
    phase("normalise")
    significand, exponent_less_one = with_leading_one(magnitude, exponent_less_one, options, signed=True)
    return Placed(sign, exponent_less_one, significand >> (magnitude.width - fmt.precision))


def is_below_normal_range(exponent_less_one: Bits) -> Bits:
    """Whether a biased exponent less one, a two's complement number, is that of no normal number."""
    return field(exponent_less_one, exponent_less_one.width - 1, 1)


def encode_exact(
    sign: Bits, exponent_less_one: Bits, magnitude: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """The encoding of a number that the format has and that is not zero, of any magnitude.

    exponent_less_one is the biased exponent of the top bit, less one, in two's complement.
    """
    parts = normalised(sign, exponent_less_one, magnitude, fmt, options)
    if is_below_normal_range(parts.exponent_less_one):
        return encode_subnormal(parts, fmt, options)
    return pack(parts, fmt)


def encode_subnormal(parts: Placed, fmt: BinaryFormat, options: Options) -> Bits:
    """The encoding of a number with its leading one whose exponent less one is negative."""
    phase("below normal range")
    if not options.subnormal_results:
        return flush_result(parts.sign, fmt)
    distance = subtract_modulo(0, parts.exponent_less_one, parts.exponent_less_one.width)
    distance = resize(distance, fmt.trailing_bits.bit_length())
    shifted = resize(parts.significand >> distance, fmt.width - 1)
    return concatenate(parts.sign, shifted)


def pack(parts: Placed, fmt: BinaryFormat) -> Bits:
    """The encoding of a normal number with its leading one and its biased exponent less one."""
    phase("pack")
    exponent_less_one = resize(parts.exponent_less_one, fmt.exponent_bits)
    encoded = (exponent_less_one << fmt.trailing_bits) + parts.significand
    return concatenate(parts.sign, resize(encoded, fmt.width - 1))
