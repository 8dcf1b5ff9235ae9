"""Encodings split into their fields, with what they stand for."""

from __future__ import annotations

from collections.abc import Iterable

from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.text.number_text import shortest_text
from softfloat_py.views.layout import columns, hexadecimal

FIELDS = ("", "", "sign", "exponent", "trailing significand", "")


def field_lines(fmt: BinaryFormat, encodings: Iterable[tuple[str, int]]) -> list[str]:
    """Named encodings under each other: hexadecimal, sign, biased exponent, trailing significand, value."""
    return columns([FIELDS, *(_row(fmt, name, bits) for name, bits in encodings)], "<<<<<<")


def _row(fmt: BinaryFormat, name: str, bits: int) -> tuple[str, ...]:
    text = f"{bits:0{fmt.width}b}"
    stop = 1 + fmt.exponent_bits
    return name, hexadecimal(bits, fmt.width), text[0], text[1:stop], text[stop:], described(fmt, bits)


def described(fmt: BinaryFormat, bits: int) -> str:
    """The value of an encoding and, unless it is a normal number, its class."""
    if fmt.is_nan(bits):
        return "quiet NaN" if bits & fmt.quiet_bit else "signalling NaN"
    magnitude = bits & ~fmt.sign_bit
    if not fmt.is_finite(bits):
        return "-infinity" if bits & fmt.sign_bit else "infinity"
    subnormal = 0 < magnitude < fmt.smallest_normal
    return shortest_text(fmt, bits) + (", subnormal" if subnormal else "")
