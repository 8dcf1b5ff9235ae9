"""Polynomials close to a function on a short interval, by economising its power series.

A Taylor polynomial of a high degree, near enough to stand for the function, is written as a sum of Chebyshev
polynomials of the interval. Each of these lies between -1 and 1 there, so leaving out the last ones costs the
sum of their coefficients at most: that is the bound of the approximation, and nothing has to be searched for.
What is left is written in powers again. With T_j the Chebyshev polynomials and T*_j those shifted to [0, 1],

    x^k = h^k 2^(1 - 2k) sum over j of binomial(2k, k - j) T*_j(x / h)        on [0, h]
    x^k = h^k 2^(1 - k) sum over j of binomial(k, (k - j) / 2) T_j(x / h)     on [-h, h], k - j even

with half of the term for j = 0. All of it is exact in integers of a common scale but the coefficients of the
power series, which are rounded. Source of formulas and method: Abramowitz and Stegun, Handbook of
Mathematical Functions, chapter 22 (from memory); the tests hold what comes out against mpmath.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import comb


@dataclass(frozen=True, slots=True)
class Series:
    """A power series: `coefficient` gives number k as the nearest multiple of 2^-bits, up to 2^-20 of it.

    From number 1 on none is larger than 2^(below - 1) times the one before, on an interval to 2^-below.
    """

    name: str
    coefficient: Callable[[int, int], int]


@dataclass(frozen=True, slots=True)
class Economised:
    """Coefficients, the constant term first, of a polynomial that is nowhere on its interval further from the
    function than `error`.
    """

    coefficients: tuple[Fraction, ...]
    error: Fraction


@cache
def economised(series: Series, below: int, bits: int, *, both_sides: bool = False) -> Economised:
    """The polynomial of lowest degree that this finds within 2^-bits of a function of arguments from 0 to
    2^-below; of those from -2^-below with `both_sides`. `below` is 1 or more, 0 for a series that falls fast.
    """
    places = bits + 12
    terms = _terms(series, below, places)
    degree = len(terms) - 1
    # a_k h^k in units of 2^-scale, with room for the powers of two of the formulas
    scale = places + (below + 2) * degree
    sizes = [term << (scale - places - below * k) for k, term in enumerate(terms)]
    sums = _both_sides(sizes) if both_sides else _one_side(sizes)
    # the coefficients were rounded, and the terms left out are a geometric series of halves
    lost = (degree + 1 + 2) << (scale - places)
    while degree > 0 and lost + abs(sums[degree]) <= 1 << (scale - bits):
        lost += abs(sums[degree])
        degree -= 1
    powers = _in_powers(sums[: degree + 1], both_sides)
    coefficients = [Fraction(size << (below * k), 1 << scale) for k, size in enumerate(powers)]
    return Economised(tuple(coefficients), Fraction(lost, 1 << scale))


def _terms(series: Series, below: int, places: int) -> list[int]:
    """The coefficients of the power series up to the first whose term is less than 2^-places, or two units of
    it less where terms only halve.
    """
    terms: list[int] = []
    k = 0
    while k < 2 or abs(terms[-1]) >> (below * (k - 1)):
        terms.append(series.coefficient(k, places))
        k += 1
    return terms


def _one_side(sizes: list[int]) -> list[int]:
    """Coefficients of the T*_j of a sum of powers of x / h."""
    sums = []
    for j in range(len(sizes)):
        total = sum(size * comb(2 * k, k - j) * 2 >> (2 * k) for k, size in enumerate(sizes) if k >= j)
        sums.append(total if j else total >> 1)
    return sums


def _both_sides(sizes: list[int]) -> list[int]:
    """Coefficients of the T_j of a sum of powers of x / h."""
    sums = []
    for j in range(len(sizes)):
        of_kind = [(k, size) for k, size in enumerate(sizes) if k >= j and (k - j) % 2 == 0]
        total = sum(size * comb(k, (k - j) // 2) * 2 >> k for k, size in of_kind)
        sums.append(total if j else total >> 1)
    return sums


def _in_powers(sums: list[int], both_sides: bool) -> list[int]:
    """Coefficients of the powers of x / h of a sum of T_j, or of T*_j."""
    length = len(sums)
    before, now = [1] + [0] * length, [0, 1] + [0] * length
    if not both_sides:
        now = [-1, 2] + [0] * length
    powers = [0] * length
    for amount in sums:
        for k in range(length):
            powers[k] += amount * before[k]
        before, now = now, _next(before, now, both_sides)
    return powers


def _next(before: list[int], now: list[int], both_sides: bool) -> list[int]:
    """The Chebyshev polynomial after two others: 2 x T_j - T_(j - 1), with 4 x - 2 for shifted ones."""
    shifted = [0, *now[:-1]]
    if both_sides:
        return [2 * up - old for up, old in zip(shifted, before, strict=False)]
    return [4 * up - 2 * same - old for up, same, old in zip(shifted, now, before, strict=False)]
