"""The shortest decimal text of a number: the fewest digits that lie nearer to it than to any other number.

Rounding such a text to nearest gives the number back. The interval of texts that do reaches half way to each
neighbour; its ends belong to the number if its significand is even (ties to even).
"""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

from softfloat_py.formats import Format

_EXPONENTS = 10**6  # beyond any format's decimal exponents


def decimal_text(fmt: Format, bits: int) -> str:
    """The shortest text, laid out as Python does a float's; inf and nan with their sign."""
    sign = "-" if bits & fmt.sign_bit else ""
    if not fmt.is_finite(bits):
        return sign + ("nan" if fmt.is_nan(bits) else "inf")
    interval = _Interval(fmt, bits & ~fmt.sign_bit)
    text = interval.shortest()
    return sign + (repr(float(text)) if interval.has_float(text) else text.lower())


def repr_text(fmt: Format, bits: int) -> str:
    """What makes the number again, after its format: (1.5), or .from_bits(0x…) where no float does."""
    sign = "-" if bits & fmt.sign_bit else ""
    magnitude = bits & ~fmt.sign_bit
    if magnitude == fmt.infinity:
        return f"(float('{sign}inf'))"
    if bits == fmt.quiet_nan:
        return "(float('nan'))"
    if fmt.is_finite(bits):
        interval = _Interval(fmt, magnitude)
        text = interval.shortest()
        if interval.has_float(text):
            return f"({sign}{float(text)!r})"
    return f".from_bits({bits:#x})"


class _Interval:
    """The values that are rounded to one magnitude."""

    def __init__(self, fmt: Format, magnitude: int) -> None:
        self.exact = fmt.decode(magnitude)
        self.enough = 2 + math.ceil(fmt.precision * math.log10(2))  # digits that always do
        step_down = self.exact - fmt.decode(magnitude - 1) if magnitude else Fraction(0)
        self.low = self.exact - step_down / 2
        self.high = self.exact + fmt.spacing(magnitude) / 2
        self.closed = magnitude % 2 == 0

    def has(self, value: Fraction) -> bool:
        """Whether a value is in it."""
        return self.low < value < self.high or (self.closed and value in (self.low, self.high))

    def has_float(self, text: str) -> bool:
        """Whether a text is, once it is rounded to a host double on the way."""
        host = float(text)
        return math.isfinite(host) and self.has(Fraction(host))

    def shortest(self) -> str:
        """The text with the fewest digits."""
        if self.exact == 0:
            return "0.0"
        for digits in range(1, self.enough + 1):
            inside = [text for text in _decimals_around(self.exact, digits) if self.has(Fraction(text))]
            if inside:
                return min(inside, key=lambda text: abs(Fraction(text) - self.exact))
        raise AssertionError("a text of enough digits lies in the interval")


def _decimals_around(exact: Fraction, digits: int) -> list[str]:
    """The nearest decimal of so many digits, and the next ones below and above. The nearest one may lie
    outside the interval where the other does not: below a power of two the interval is half as wide as
    above it.
    """
    contexts = (
        Context(prec=digits, rounding=rounding, Emax=_EXPONENTS, Emin=-_EXPONENTS)
        for rounding in (ROUND_HALF_EVEN, ROUND_FLOOR, ROUND_CEILING)
    )
    return [str(context.divide(Decimal(exact.numerator), Decimal(exact.denominator))) for context in contexts]
