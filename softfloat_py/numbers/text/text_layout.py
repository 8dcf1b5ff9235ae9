"""How the digits of a number are laid out, before sign, width and filling.

The rules are those of Python's own floats; the hexadecimal form is C's and IEEE 754-2019's (clause 5.12.3).
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from softfloat_py.environment import Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.text.decimal_digits import (
    Digits,
    binary_of,
    last_decimal,
    rounded_to_whole,
    significant_digits,
    text_of_whole,
)

# Python's repr is positional from 10**-4 up to below 10**16.
SMALLEST_POSITIONAL = -4
SCIENTIFIC_FROM = 16


class Layout(NamedTuple):
    """The parts of a number's text without its sign; `tail` is an exponent or %, `prefix` 0x."""

    whole: str
    fraction: str = ""
    tail: str = ""
    prefix: str = ""

    @property
    def value(self) -> Fraction:
        """The magnitude that is written."""
        fraction = self.fraction.rstrip("0")
        if self.prefix:
            exponent = int(self.tail[1:]) - 4 * len(fraction)
            return int(self.whole + fraction, 16) * Fraction(2) ** exponent
        percent = 100 if self.tail == "%" else 1
        return Fraction(Decimal(f"{self.whole}.{fraction}{self.tail.strip('%')}")) / percent

    @property
    def is_zero(self) -> bool:
        """Whether only zeros are left."""
        return not (self.whole + self.fraction).strip("0")

    def with_fraction(self) -> Layout:
        """With at least one digit after the point, where there is no exponent."""
        return self if self.fraction or self.tail else self._replace(fraction="0")

    def stripped(self) -> Layout:
        """Without zeros at the end of the fraction."""
        return self._replace(fraction=self.fraction.rstrip("0"))

    def text(self, *, point: bool = False) -> str:
        """All parts together; the point where a fraction follows, or always."""
        return f"{self.prefix}{self.whole}{'.' if self.fraction or point else ''}{self.fraction}{self.tail}"


def positional(digits: Digits) -> Layout:
    """Without an exponent."""
    text, exponent = digits
    if exponent < 0:
        return Layout("0", "0" * (-exponent - 1) + text)
    length = exponent + 1
    return Layout(text[:length].ljust(length, "0"), text[length:])


def scientific(digits: Digits) -> Layout:
    """With one digit before the point and an exponent of at least two digits."""
    return Layout(digits.digits[0], digits.digits[1:], f"e{digits.exponent:+03d}")


def general(digits: Digits, scientific_from: int = SCIENTIFIC_FROM) -> Layout:
    """Positional from 10**-4 up to below 10**scientific_from, otherwise scientific."""
    if SMALLEST_POSITIONAL <= digits.exponent < scientific_from:
        return positional(digits)
    return scientific(digits)


def with_decimals(value: Fraction, decimals: int, rounding: Rounding, negative: bool) -> Layout:
    """The magnitude of a finite encoding, rounded to so many decimals, without an exponent."""
    computed = min(decimals, last_decimal(value))
    whole = rounded_to_whole(value * 10**computed, rounding, negative)
    text = text_of_whole(whole).rjust(computed + 1, "0")
    point = len(text) - computed
    return Layout(text[:point], text[point:].ljust(decimals, "0"))


def with_digits_after_first(value: Fraction, decimals: int, rounding: Rounding, negative: bool) -> Layout:
    """A magnitude rounded to so many decimals beside a power of ten."""
    return scientific(significant_digits(value, decimals + 1, rounding, negative))


def hexadecimal(
    fmt: BinaryFormat, bits: int, decimals: int | None, rounding: Rounding, negative: bool
) -> Layout:
    """A finite encoding with a hexadecimal significand, rounded to `decimals` digits after the point.

    Without `decimals` all digits that the format has are there. The digit before the point is 1; for zero and
    subnormal numbers it is 0, and the exponent the smallest.
    """
    significand, exponent = binary_of(fmt, bits)
    exponent = exponent + fmt.trailing_bits if significand else 0
    stored = -(-fmt.trailing_bits // 4)
    count = stored if decimals is None else min(decimals, stored)
    scaled = rounded_to_whole(significand * Fraction(16) ** count / fmt.leading_one, rounding, negative)
    one = 16**count
    if scaled >= 2 * one:  # rounded up out of the significand
        scaled, exponent = one, exponent + 1
    whole, fraction = divmod(scaled, one)
    digits = f"{fraction:0{count}x}" if count else ""
    return Layout(str(whole), digits.ljust(decimals or 0, "0"), f"p{exponent:+d}", "0x")
