"""Real constants and functions of rational numbers as integers: the nearest multiple of 2^-bits.

Everything that plans are made of comes from these. They are power series in fixed point with GUARD bits to
spare, summed by integers alone. A term loses less than a unit of the last guard bit and a series has fewer
terms than bits; a reduction doubles an error as often as is said at it. So with numbers of up to 2^16 bits
less than 2^40 such units are lost: what is delivered is off by half of 2^-bits and 2^-20 of it at most.

Sources: the series and Machin's formula for pi are common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import isqrt

GUARD = 64
HALVINGS = 16  # of an exponent before its series is summed


def fixed(value: Fraction, bits: int) -> int:
    """A rational number as the nearest multiple of 2^-bits, the upper one of two."""
    numerator, denominator = value.numerator << bits, value.denominator
    return (2 * numerator + denominator) // (2 * denominator)


def shortened(value: int, places: int) -> int:
    """A fixed-point number without its last places, rounded to nearest."""
    return (value + (1 << places >> 1)) >> places


def exponent_of(value: Fraction) -> int:
    """The exponent of the largest power of two that is not above a positive number."""
    exponent = value.numerator.bit_length() - value.denominator.bit_length()
    return exponent if value >= Fraction(2) ** exponent else exponent - 1


@cache
def pi(bits: int) -> int:
    """pi = 16 atan(1/5) - 4 atan(1/239)."""
    wide = bits + GUARD
    return shortened(
        16 * _arc_tangent_of_reciprocal(5, wide) - 4 * _arc_tangent_of_reciprocal(239, wide), GUARD
    )


@cache
def ln(value: Fraction, bits: int) -> int:
    """The natural logarithm of a positive rational number.

    2^k m, m between 1/2 and 2, has k ln 2 + ln m, where ln m = 2 artanh((m - 1) / (m + 1)), for 2 as well.
    """
    wide = bits + GUARD
    k = value.numerator.bit_length() - value.denominator.bit_length()
    m = value / Fraction(2) ** k
    ln_2 = 2 * _odd_series((1 << wide) // 3, wide, 1)
    return shortened(k * ln_2 + 2 * _odd_series(fixed((m - 1) / (m + 1), wide), wide, 1), GUARD)


@cache
def exp(value: Fraction, bits: int) -> int:
    """e^value, the value of a magnitude up to 32: that of value / 2^HALVINGS, squared as often.

    Squaring doubles a relative error: 2^HALVINGS is 16 of the guard bits, e^32 another 47, which are added.
    """
    wide = bits + GUARD + 64
    x = fixed(value / 2**HALVINGS, wide)
    total = term = 1 << wide
    k = 1
    while term:
        term = _quotient(term * x, k << wide)
        total, k = total + term, k + 1
    for _ in range(HALVINGS):
        total = total * total >> wide
    return shortened(total, wide - bits)


@cache
def power_of_two(exponent: Fraction, bits: int) -> int:
    """2^exponent, the exponent of a magnitude up to 32."""
    wide = bits + 2 * GUARD
    return exp(Fraction(ln(Fraction(2), wide), 1 << wide) * exponent, bits)


@cache
def arc_tangent(value: Fraction, bits: int) -> int:
    """atan, in radians, of a rational number that is not negative.

    Three times x is replaced by x / (1 + sqrt(1 + x^2)), which has half the angle; above 1 by 1 / x.
    """
    wide = bits + GUARD
    if value > 1:
        return shortened((pi(wide + 1) >> 2) - arc_tangent(1 / value, wide), GUARD)
    x, one = fixed(value, wide), 1 << wide
    for _ in range(3):
        x = (x << wide) // (one + isqrt((one << wide) + x * x))
    return shortened(_odd_series(x, wide, -1) << 3, GUARD)


@cache
def sine(value: Fraction, bits: int) -> int:
    """The sine of a rational number of radians, of a magnitude up to 8."""
    return _alternating(value, bits, 1)


@cache
def cosine(value: Fraction, bits: int) -> int:
    """The cosine of a rational number of radians, of a magnitude up to 8."""
    return _alternating(value, bits, 0)


def _alternating(value: Fraction, bits: int, first: int) -> int:
    """x^first / first! - x^(first + 2) / (first + 2)! + ..."""
    wide = bits + GUARD
    x = fixed(value, wide)
    square = x * x >> wide
    total = term = x if first else 1 << wide
    k = first
    while term:
        k += 2
        term = -_quotient(term * square, k * (k - 1) << wide)
        total += term
    return shortened(total, GUARD)


def _odd_series(x: int, bits: int, sign: int) -> int:
    """x + sign x^3/3 + x^5/5 + sign x^7/7 + ... of a fixed-point number of a magnitude up to 1/3."""
    square = x * x >> bits
    total = power = x
    k = 1
    while power:
        k += 2
        power = sign * _quotient(power * square, 1 << bits)
        total += _quotient(power, k)
    return total


def _arc_tangent_of_reciprocal(n: int, bits: int) -> int:
    """atan(1/n), by divisions by small numbers alone: this is quick for thousands of bits."""
    power = (1 << bits) // n
    total, k = power, 1
    while power:
        k += 2
        power //= n * n
        total += power // k if k % 4 == 1 else -(power // k)
    return total


def _quotient(numerator: int, denominator: int) -> int:
    """A quotient without its fraction, whatever its sign; the denominator is positive."""
    return numerator // denominator if numerator >= 0 else -(-numerator // denominator)
