"""Points on the unit circle, correctly rounded to a format: the constants of a Fourier transform.

A cosine of a rational part of a turn comes from integers that stand for multiples of 2^-bits: π by Machin's
formula, 16 arctan(1/5) - 4 arctan(1/239), then Taylor's series of an angle of at most an eighth of a turn.
Where what is left open by the bits cut off rounds to two encodings, it is done again with twice the bits
(Ziv's strategy; from memory). That ends, as a cosine that is no multiple of 1/2 is irrational (Niven's
theorem; from memory).
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from softfloat_py.engines.arrays.words import from_ints
from softfloat_py.environment import Rounding, current
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.complex.complex_array import ComplexArray
from softfloat_py.numbers.value_system import ValueSystem

QUARTER, EIGHTH = Fraction(1, 4), Fraction(1, 8)
# A generous bound on the error, in units of the last bit: each of a few hundred terms is off by a few units.
OPEN = 1 << 16
GUARD = 64


def circle(fmt: ValueSystem, points: int, inverse: bool) -> ComplexArray:
    """exp(-2πi k / points) for each k below points / 2, with the other sign for an `inverse`.

    Constants of the program: each part correctly rounded in the direction in force, not counted.
    """
    return _circle(fmt, points, inverse, current.get().direction)


@lru_cache(maxsize=64)
def _circle(fmt: ValueSystem, points: int, inverse: bool, direction: int) -> ComplexArray:
    turns = [Fraction(k if inverse else -k, points) for k in range(points // 2)]
    real = [_cosine(fmt, turn, direction) for turn in turns]
    imag = [_cosine(fmt, turn - QUARTER, direction) for turn in turns]  # the sine
    return ComplexArray._of(*(FloatArray._of(fmt, from_ints(part, fmt.width)) for part in (real, imag)))


def _cosine(fmt: ValueSystem, turn: Fraction, direction: int) -> int:
    """The encoding of the cosine of a part of a turn, correctly rounded."""
    turn = min(turn % 1, -turn % 1)
    sign, turn = (-1 if turn > QUARTER else 1), min(turn, 2 * QUARTER - turn)
    if turn in (0, QUARTER):
        return fmt.encode(sign * int(turn == 0), Rounding(direction))[0]
    bits, lower, upper = GUARD + fmt.width, 0, 1
    while lower != upper:
        bits *= 2
        magnitude = _cosine_below_quarter(turn, bits)
        ends = (Fraction(magnitude + error, 1 << bits) for error in (-OPEN, OPEN))
        lower, upper = (fmt.encode(sign * end, Rounding(direction))[0] for end in ends)
    return lower


def _cosine_below_quarter(turn: Fraction, bits: int) -> int:
    """2^bits times the cosine of less than a quarter of a turn, by the series of cosine or sine."""
    by_sine = turn > EIGHTH
    part = QUARTER - turn if by_sine else turn
    angle = 2 * _pi(bits) * part.numerator // part.denominator
    term, total, factor = (angle if by_sine else 1 << bits), 0, 2 if by_sine else 1
    while term:
        total += term
        # Towards zero, so that the terms come to an end.
        size = (abs(term) * angle * angle >> 2 * bits) // (factor * (factor + 1))
        term, factor = (-size if term > 0 else size), factor + 2
    return total


@lru_cache(maxsize=64)
def _pi(bits: int) -> int:
    """2^bits times π."""
    return 16 * _arctangent_of_inverse(5, bits) - 4 * _arctangent_of_inverse(239, bits)


def _arctangent_of_inverse(n: int, bits: int) -> int:
    """2^bits times the arctangent of 1 / n, which is 1/n - 1/(3 n³) + 1/(5 n⁵) and so on."""
    power, total, odd = (1 << bits) // n, 0, 1
    while power:
        total += power // odd if odd % 4 == 1 else -(power // odd)
        power, odd = power // (n * n), odd + 2
    return total
