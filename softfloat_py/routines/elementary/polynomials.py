"""Polynomials in fixed point, for Horner's method on magnitudes, and a bound of what they lose.

Signs. The argument r is a magnitude below 2^-below. A polynomial whose signs alternate is c0 - r (c1 - r (c2
- ...)), where each bracket is positive, for r is small and coefficients fall; one of equal signs has sums. So
no number here needs a sign.

Widths. The bracket of r^k is multiplied by r^k < 2^(-below k) before it is part of the value. So it needs
below k fraction bits less than the value, and of the argument it is multiplied by only as many as make
a unit of its last place: products shrink as powers rise. Both are cut, and a stage k loses, in units of the
value and times r^k:

- what is cut from the argument, less than a unit of its last place times the bracket that it multiplies;
- what is cut from the product, less than a unit of the stage's last place;
- half a unit for the coefficient, which is rounded to nearest.

`error` is the sum of these for all stages and of the approximation itself.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from softfloat_py.routines.elementary.reals import fixed
from softfloat_py.routines.elementary.series import Series, economised

LEAST_PLACES = 4  # fraction bits of a bracket, however far down it counts


class Stage(NamedTuple):
    """One step of Horner's method: coefficient, plus or minus argument times the bracket so far."""

    coefficient: int
    width: int
    places: int  # fraction bits of the sum
    adds: bool  # the bracket has the sign of the coefficient
    drop: int  # lowest bits of the argument left out
    shift: int  # lowest bits of the product left out


class Polynomial(NamedTuple):
    """`first` in `first_width` bits, the innermost bracket, then the stages from there outwards.

    The value has `fraction_bits`; it is off by at most `error` units of the last of them.
    """

    first: int
    first_width: int
    stages: tuple[Stage, ...]
    fraction_bits: int
    error: Fraction


@cache
def polynomial(
    series: Series, below: int, argument_bits: int, fraction_bits: int, *, both_sides: bool = False
) -> Polynomial:
    """A function of arguments from 0 to 2^-below that come with `argument_bits` fraction bits; with
    `both_sides`, of negative ones too, whose magnitude comes.
    """
    near = economised(series, below, fraction_bits + 1, both_sides=both_sides)
    c = near.coefficients
    degree = len(c) - 1
    places = [max(fraction_bits - below * k, LEAST_PLACES) for k in range(degree + 1)]
    largest = _largest(c, below, both_sides)
    unit = Fraction(1, 1 << fraction_bits)
    error = near.error / unit + _half_a_unit(places[degree], degree, below) / unit
    stages = []
    for k in range(degree - 1, -1, -1):
        size = bits_before_point(largest[k + 1])
        wanted = min(argument_bits, places[k] + size)
        lost = Fraction(1, 1 << places[k])
        if wanted < argument_bits:
            lost += largest[k + 1] / 2**wanted
        error += (lost / 2 ** (below * k) + _half_a_unit(places[k], k, below)) / unit
        coefficient = fixed(abs(c[k]), places[k])
        room = fixed(largest[k], places[k]) + 4  # more than is lost above
        shift = places[k + 1] + wanted - places[k]
        adds = c[k] * c[k + 1] > 0
        stages.append(Stage(coefficient, room.bit_length(), places[k], adds, argument_bits - wanted, shift))
    first = fixed(abs(c[degree]), places[degree])
    return Polynomial(first, max(first.bit_length(), 1), tuple(stages), fraction_bits, error)


def _largest(c: tuple[Fraction, ...], below: int, both_sides: bool) -> list[Fraction]:
    """The largest value of each bracket: where signs alternate and one side is asked for, its coefficient."""
    largest = [abs(c[-1])]
    for k in range(len(c) - 2, -1, -1):
        outer = abs(c[k])
        if both_sides or c[k] * c[k + 1] > 0:
            outer += largest[0] / 2**below
        largest.insert(0, outer)
    return largest


def _half_a_unit(places: int, k: int, below: int) -> Fraction:
    """Half a unit of a bracket's last place, as part of the value."""
    return Fraction(1, 1 << (places + 1 + below * k))


def bits_before_point(size: Fraction) -> int:
    """The least n of 0 and more for which a size is not above 2^n."""
    return (-(-size.numerator // size.denominator) - 1).bit_length()
