"""The door of a format that stores the leading bit: encodings to and from its twin, which does not.

All other routines compute in the twin, so that this is the only place that knows of the bit. Encodings whose
leading bit does not fit their exponent, which hardware of the 80-bit format calls unsupported, come in as
signalling NaNs; a *pseudo-denormal*, exponent field 0 beside a leading bit, means the exponent 1. Source:
Intel 64 and IA-32 Architectures Software Developer's Manual, volume 1, section 8.2.2 and table 8-3 (from
memory).
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, concatenate, constant, field, phase, select


def without_leading_bit(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """An encoding of `fmt` as its twin has it."""
    phase("leading bit")
    sign = field(x, fmt.width - 1, 1)
    exponent = field(x, fmt.precision, fmt.exponent_bits)
    leading = field(x, fmt.trailing_bits, 1)
    no_exponent = exponent == 0
    implied = concatenate(sign, concatenate(exponent | no_exponent & leading, field(x, 0, fmt.trailing_bits)))
    if not options.special:
        return implied
    signaling = concatenate(sign, constant(fmt.twin.infinity | 1, fmt.twin.width - 1))
    return select(no_exponent | leading, implied, signaling)


def with_leading_bit(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A twin's encoding as `fmt` has it."""
    phase("leading bit")
    upper = x >> fmt.trailing_bits
    leading = field(upper, 0, fmt.exponent_bits) != 0
    return concatenate(concatenate(upper, leading), field(x, 0, fmt.trailing_bits))
