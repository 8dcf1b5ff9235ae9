"""Exact values rounded once into a format: what the rational reference rests on.

A finite result is a `Fraction` until it is rounded here, so no rounding is left to chance.
Clauses are those of IEEE 754-2019, quoted from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil, floor, isqrt, trunc
from typing import Any

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE, Options, Tininess

Outcome = tuple[Any, Flags]  # an encoding, an integer, 0 or 1, or a pair of encodings; and the flags

TIES_TOWARD_ZERO = None  # of clause 9.5, which is no direction of clause 4.3 and which nobody can choose
NEAREST = (Rounding.TIES_TO_EVEN, Rounding.TIES_TO_AWAY, TIES_TOWARD_ZERO)


@cache
def power_of_two(exponent: int) -> Fraction:
    """2**exponent, which is asked for a great many times."""
    return Fraction(2) ** exponent


def round_to_whole(value: Fraction, rounding: Rounding | None) -> int:
    """The whole number that clause 4.3 chooses for `value`, or 9.5 for TIES_TOWARD_ZERO."""
    match rounding:
        case Rounding.TOWARD_NEGATIVE:
            return floor(value)
        case Rounding.TOWARD_POSITIVE:
            return ceil(value)
        case Rounding.TOWARD_ZERO:
            return trunc(value)
        case Rounding.TIES_TO_EVEN:
            return round(value)
        case Rounding.TIES_TO_AWAY:
            return trunc(value + Fraction(1 if value > 0 else -1, 2))
        case None:
            return ceil(value - Fraction(1, 2)) if value > 0 else floor(value + Fraction(1, 2))


def exponent_of(magnitude: Fraction) -> int:
    """The exponent e with 2**e <= magnitude < 2**(e + 1), for a magnitude above zero."""
    guess = magnitude.numerator.bit_length() - magnitude.denominator.bit_length()
    return guess if power_of_two(guess) <= magnitude else guess - 1


def root_for_rounding(value: Fraction, precision: int) -> Fraction:
    """A number that rounds to `precision` bits or fewer just as the square root of a rational `value` does.

    The root is cut off at least two bits below the precision. Where something is cut, half of the last
    place stands in for it: numbers of precision + 1 bits, among them every rounding boundary, lie on the
    grid that was cut to, and the root and its stand-in lie strictly between the same two of its points.
    """
    scale = precision + 2 + value.denominator.bit_length()
    scaled = value * 4**scale
    root = isqrt(int(scaled))
    if root * root == scaled:
        return Fraction(root, 2**scale)
    return Fraction(2 * root + 1, 2 ** (scale + 1))


@dataclass(frozen=True, slots=True)
class Destination:
    """Where a result goes: its format (leading bit not stored), the rounding direction, the conventions."""

    fmt: Format
    rounding: Rounding | None
    options: Options = COMPLETE

    def nan(self) -> int:
        """The default NaN."""
        return self.options.default_nan(self.fmt)

    def invalid(self) -> Outcome:
        """The default result of an invalid operation (clause 7.2)."""
        return self.nan(), Flags.INVALID_OPERATION

    def zero(self, negative: bool) -> Outcome:
        """An exact zero."""
        return self._signed(0, negative), Flags.NONE

    def zero_of_sum(self) -> Outcome:
        """The exact zero sum of operands with unlike signs (clause 6.3)."""
        return self.zero(self.rounding is Rounding.TOWARD_NEGATIVE)

    def infinity(self, negative: bool) -> Outcome:
        """An exact infinity, NaN where the format has none."""
        return self._infinity(negative), Flags.NONE

    def largest(self, negative: bool) -> int:
        """The largest finite number of a sign."""
        return self._signed(self.fmt.largest_finite, negative)

    def round(self, value: Fraction) -> Outcome:
        """Encoding and flags of a value other than zero (clauses 4.3, 7.4, 7.5, 7.6)."""
        negative, exponent = value < 0, exponent_of(abs(value))
        if not self.options.subnormal_results and exponent < self.fmt.emin:
            return self._signed(0, negative), Flags.UNDERFLOW | Flags.INEXACT
        held_exponent = max(exponent, self.fmt.emin)
        significand, exact = self._significand(value, held_exponent)
        # Encodings of finite magnitudes are consecutive: a carry out of the significand is the next binade.
        bits = ((held_exponent - self.fmt.emin) << self.fmt.trailing_bits) + significand
        if bits >= self.fmt.first_special:
            return self._overflow(negative)
        flags = Flags.NONE if exact else Flags.INEXACT
        if not exact and self._is_tiny(value, exponent):
            flags |= Flags.UNDERFLOW
        return self._signed(bits, negative), flags

    def _infinity(self, negative: bool) -> int:
        return self._signed(self.fmt.infinity, negative) if self.fmt.has_infinity else self.nan()

    def _significand(self, value: Fraction, exponent: int) -> tuple[int, bool]:
        """Magnitude in units of the last place at `exponent`, rounded; and whether that was exact."""
        scaled = value * power_of_two(self.fmt.trailing_bits - exponent)
        return abs(round_to_whole(scaled, self.rounding)), scaled.denominator == 1

    def _is_tiny(self, value: Fraction, exponent: int) -> bool:
        """Whether the value is below the normals: as it is (clause 7.5, b), or once it is rounded as if
        exponents had no bound (7.5, a), by which only one of the binade below them can become normal.
        """
        if self.options.tininess is Tininess.BEFORE_ROUNDING or exponent != self.fmt.emin - 1:
            return exponent < self.fmt.emin
        significand, _ = self._significand(value, exponent)
        return significand < 2 * self.fmt.leading_one

    def _overflow(self, negative: bool) -> Outcome:
        """The default result of an overflow (clause 7.4)."""
        outward = Rounding.TOWARD_NEGATIVE if negative else Rounding.TOWARD_POSITIVE
        beyond = self.rounding in NEAREST or self.rounding is outward
        to_infinity = beyond and not self.options.saturate
        bits = self._infinity(negative) if to_infinity else self.largest(negative)
        return bits, Flags.OVERFLOW | Flags.INEXACT

    def _signed(self, magnitude: int, negative: bool) -> int:
        return magnitude | self.fmt.sign_bit if negative else magnitude
