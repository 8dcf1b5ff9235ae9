"""Encodings of a format that stores the leading bit, to and from its twin, which does not.

Source: Intel 64 and IA-32 Architectures Software Developer's Manual, volume 1, section 8.2.2 and table 8-3
("Unsupported Double Extended-Precision Floating-Point Encodings"; from memory).
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat


def to_twin(fmt: BinaryFormat, bits: int) -> int:
    """An encoding as the twin has it. What the 80-bit format calls unsupported becomes a signalling NaN.

    A *pseudo-denormal* (exponent field 0 with the leading bit set) means the exponent 1.
    """
    if not fmt.explicit_leading_bit:
        return bits
    sign, magnitude = bits & fmt.sign_bit, bits & (fmt.sign_bit - 1)
    field, significand = magnitude >> fmt.precision, magnitude & ((1 << fmt.precision) - 1)
    leading, trailing = divmod(significand, fmt.leading_one)
    if field and not leading:
        return sign >> 1 | fmt.twin.infinity | 1
    return sign >> 1 | max(field, leading) << fmt.trailing_bits | trailing


def from_twin(fmt: BinaryFormat, bits: int) -> int:
    """A twin's encoding as this format has it."""
    if not fmt.explicit_leading_bit:
        return bits
    field, trailing = divmod(bits, fmt.leading_one)
    leading = fmt.leading_one if field & fmt.largest_exponent_field else 0
    return field << fmt.precision | leading | trailing
