"""The decimal digits of a number: all of them, as few as tell it from its neighbours, or as many as asked.

All of it is exact arithmetic on the number's value, significand × 2**exponent; no host float is involved.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import floor, log10
from typing import NamedTuple

from softfloat_py.environment import Rounding
from softfloat_py.formats import BinaryFormat


class Digits(NamedTuple):
    """A decimal number: one digit before the point and the others behind it, times a power of ten.

    There is at least one digit; zeros at the end are kept where they were asked for.
    """

    digits: str
    exponent: int

    def stripped(self) -> Digits:
        """Without zeros at the end."""
        return Digits(self.digits.rstrip("0") or "0", self.exponent)


class Binary(NamedTuple):
    """A magnitude as the format has it, significand × 2**exponent; the significand is whole."""

    significand: int
    exponent: int


def binary_of(fmt: BinaryFormat, bits: int) -> Binary:
    """Significand and exponent of the unit in the last place of a finite encoding."""
    return Binary(*fmt.significand_and_exponent(bits))


# -- as many as asked for --------------------------------------------------------------------------------


def rounded_to_whole(value: Fraction, rounding: Rounding, negative: bool) -> int:
    """A magnitude rounded to a whole number, `negative` saying on which side of zero it lies."""
    whole, rest = divmod(value.numerator, value.denominator)
    twice = 2 * rest
    match rounding:
        case Rounding.TIES_TO_EVEN:
            grows = twice > value.denominator or (twice == value.denominator and whole % 2 == 1)
        case Rounding.TIES_TO_AWAY:
            grows = twice >= value.denominator
        case Rounding.TOWARD_POSITIVE:
            grows = rest > 0 and not negative
        case Rounding.TOWARD_NEGATIVE:
            grows = rest > 0 and negative
        case Rounding.TOWARD_ZERO:
            grows = False
    return whole + grows


def last_decimal(value: Fraction) -> int:
    """The last decimal of a value of a format that may not be 0: the n-th half of 1 has n of them.

    Beyond it all decimals are zeros, which need not be computed, however many are asked for.
    """
    return value.denominator.bit_length() - 1


def significant_digits(value: Fraction, count: int, rounding: Rounding, negative: bool) -> Digits:
    """The magnitude of a finite encoding, rounded to so many digits."""
    if value == 0:
        return Digits("0" * count, 0)
    exponent = decimal_exponent(value.numerator, value.denominator)
    computed = min(count, exponent + 1 + last_decimal(value))
    whole = rounded_to_whole(value * Fraction(10) ** (computed - 1 - exponent), rounding, negative)
    text = text_of_whole(whole)
    # Nines may have been rounded up to the next power of ten, which has one digit more.
    return Digits(text[:computed].ljust(count, "0"), exponent + len(text) - computed)


def decimal_exponent(numerator: int, denominator: int) -> int:
    """The exponent e with 10**e <= numerator / denominator < 10**(e + 1), for two numbers above zero."""
    bits = numerator.bit_length() - denominator.bit_length()
    exponent = floor((bits - 1) * log10(2))  # of 2**(bits - 1), which is less than the quotient
    while denominator * 10 ** max(exponent + 1, 0) <= numerator * 10 ** max(-exponent - 1, 0):
        exponent += 1
    return exponent


def text_of_whole(whole: int) -> str:
    """A whole number of any length in decimal; str() refuses long ones, Decimal does not."""
    return str(Decimal(whole))


# -- all of them -----------------------------------------------------------------------------------------


def exact_digits(fmt: BinaryFormat, bits: int) -> Digits:
    """The value of a finite encoding, digit by digit: every dyadic number ends in decimal."""
    significand, exponent = binary_of(fmt, bits)
    if exponent >= 0:
        return _digits_of(significand << exponent, 0)
    return _digits_of(significand * 5**-exponent, exponent)


def _digits_of(whole: int, place: int) -> Digits:
    """A whole number times 10**place, without zeros at the end."""
    text = text_of_whole(whole)
    return Digits(text, len(text) - 1 + place if whole else 0).stripped()


# -- as few as will do -----------------------------------------------------------------------------------


def shortest_digits(fmt: BinaryFormat, bits: int) -> Digits:
    """The fewest digits that, rounded to nearest, give a finite encoding back; of several, the nearest.

    What is rounded to a number reaches half way to each neighbour, and its ends belong to it if the
    significand is even. In quarters of the unit in the last place these are 4m - 2, or 4m - 1 where the
    number below is half as far away, and 4m + 2.

    Let 10**k be the largest power of ten that is not longer than the interval. A multiple of it lies in the
    interval, next to the number on one side or the other. Fewer digits can only come from a multiple of
    10**(k + 1); there is at most one, the last that is not above the upper end. (The interval is as long as
    10**k only if both are 1, and then the number itself is a multiple.)
    """
    significand, exponent = binary_of(fmt, bits)
    if significand == 0:
        return Digits("0", 0)
    below_is_nearer = significand == fmt.leading_one and exponent > fmt.emin - fmt.trailing_bits
    low, high = 4 * significand - (1 if below_is_nearer else 2), 4 * significand + 2
    up, down = 1 << max(exponent - 2, 0), 1 << max(2 - exponent, 0)  # a quarter is up / down
    place = decimal_exponent((high - low) * up, down)
    up, down = up * 10 ** max(-place, 0), down * 10 ** max(place, 0)  # now in units of 10**place
    exact, lower, upper = 4 * significand * up, low * up, high * up
    closed = significand % 2 == 0
    around = (upper // (10 * down) * 10, exact // down, exact // down + 1)
    inside = [n for n in around if lower < n * down < upper or (closed and n * down in (lower, upper))]
    digits = {n: _digits_of(n, place) for n in inside}
    return digits[min(inside, key=lambda n: (len(digits[n].digits), abs(n * down - exact), n % 2))]
