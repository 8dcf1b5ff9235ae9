"""Odd functions of a fraction of a right angle: slopes, and results that are as good for their size.

The fraction g comes with `fraction_bits`: exact, or two units off at most, as is what is missing to 1 where
that stands for g: the complement of its bits is a unit less, but g was cut off.

Next to 0 it has leading zeros, and so has the result, which is to be known relative to its size. So g is
shifted until its leading one is on top, and multiplied by a *slope*, f(g) / g. With up to `most_zeros`
leading zeros, fraction_bits being two and `bits` more, g is off by one unit of the last of `bits` bits behind
its leading one, and by one for what is cut off it. In units of the last of as many bits of the result that
costs

- twice as much as the function is steep;
- what the slope is off by as often as g says: less than 3/2 where the product stays below 2, for slopes are
  above 4/3; where it does not, all counts half;
- one for what is cut off the product.

Elsewhere, with tables, the function is computed in segments, for a g that is off by what it was, and by a
unit for what is cut off it. Without tables slopes are polynomials of g^2, for g below 1/2: g is off likewise,
so is its square, and by a unit more for what is cut off that.

Functions do not exceed 1. Where one comes near 1, it is computed a little too small, by more than all that is
lost, so that it is always below.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from softfloat_py.options import Options, Tables
from softfloat_py.routines.elementary.polynomials import Polynomial
from softfloat_py.routines.elementary.segments import Segments, segments, slope_in, value_in
from softfloat_py.routines.elementary.series import Series
from softfloat_py.routines.elementary.unit_vectors import VectorPlan
from softfloat_py.routines.language import Bits, constant, field, resize, select, shift_left, with_point
from softfloat_py.routines.leading_zeros import leading_zeros

# Of segments: in the first phase, and in the second, which few calls take.
INDEX_BITS = {Tables.NONE: (0, 0), Tables.SMALL: (5, 3), Tables.LARGE: (8, 4)}


@dataclass(frozen=True, slots=True)
class Octant:
    """Sine and cosine of fractions below 2^-reach, 1/2 or less, by polynomials of their square, which has
    bits + 1 fraction bits: the slope of the sine with `bits` fraction bits, and the cosine with one more.

    Errors are those of results, in units of the last of `bits` bits behind their leading ones.
    """

    reach: int
    slope: Polynomial
    cosine: Polynomial
    sine_error: Fraction
    cosine_error: Fraction


@dataclass(frozen=True, slots=True)
class Rotations:
    """Sine and cosine by rotations; next to 0 and to 1, by polynomials. Errors are as those of an octant."""

    ends: Octant
    vector: VectorPlan
    sine_error: Fraction
    cosine_error: Fraction


@dataclass(frozen=True, slots=True)
class FractionPlan:
    """How a function of a fraction of a right angle is computed to `bits` bits behind its leading one.

    It is off by at most `error` units of the last of them, if the fraction has no more leading zeros than
    `most_zeros`; one that is exact has fewer.
    """

    bits: int
    most_zeros: int
    exact: bool
    way: Segments | Octant | Rotations
    error: int

    @property
    def fraction_bits(self) -> int:
        """Bits of the fraction."""
        return self.most_zeros if self.exact else self.bits + 2 + self.most_zeros


@dataclass(frozen=True, slots=True)
class OddFunction:
    """A function whose fractions from 0 on are `slope` times the fraction, a series of its square; and which
    is a series of what lies behind any other place. `signs` are those of its derivatives, again and again. In
    the first segment it is no steeper than `steepest`. Its fractions reach to 2^-reach.
    """

    name: str
    slope: Series
    behind: Callable[[Fraction], Series]
    signs: tuple[int, ...]
    steepest: Fraction
    reach: int


def plan_in_segments(
    function: OddFunction, bits: int, most_zeros: int, exact: bool, index_bits: int
) -> FractionPlan:
    """The plan with 2^index_bits segments."""
    places = index_bits + function.reach
    most_zeros = max(most_zeros, bits + places if exact else places)
    others = [function.behind(Fraction(j, 1 << places)) for j in range(1, 1 << index_bits)]
    off = 1 + (Fraction(0) if exact else Fraction(2, 1 << (3 + most_zeros - places)))
    way = segments(function.name, function.slope, others, function.signs, places, bits, off)
    next_to_zero = error_next_to_zero(2 * way.slope_error, function.steepest)
    return FractionPlan(bits, most_zeros, exact, way, ceil(max(way.error, next_to_zero)))


def error_next_to_zero(slope_error: Fraction, steepest: Fraction) -> Fraction:
    """What is lost at most, with a slope that is off by so many units of the last of `bits` bits."""
    return 2 * steepest + Fraction(3, 2) * slope_error + 1


def error_of_square(most_zeros: int, exact: bool) -> Fraction:
    """How far off a square is, in units of its last place."""
    return 2 + (Fraction(0) if exact else Fraction(2, 1 << (1 + most_zeros)))


def lowered(series: Polynomial, error: Fraction) -> Polynomial:
    """A polynomial that is too small by more than an error, in units of its last place."""
    last = series.stages[-1]
    last = last._replace(coefficient=last.coefficient - floor(error) - 1)
    return series._replace(stages=(*series.stages[:-1], last))


def in_segments(g: Bits, plan: FractionPlan, of: Segments, options: Options) -> tuple[Bits, Bits]:
    """The function of a fraction, by coefficients from tables: the place of the leading one behind the point,
    from 1 on, and a significand.
    """
    behind = plan.fraction_bits - of.index_bits
    index = field(g, behind, (len(of.base.entries) - 1).bit_length())
    within = field(g, plan.fraction_bits - of.fraction_bits, of.fraction_bits - of.index_bits)
    b = with_point(within, of.fraction_bits)
    slope = slope_in(index, b, of)
    if index == 0:
        place, significand = next_to_zero(g, slope, of.fraction_bits - of.index_bits, plan, options)
    else:
        place, significand = brought_up(value_in(index, b, slope, of), of.index_bits, plan)
    return place, significand


def square(g: Bits, reach: int, plan: FractionPlan) -> Bits:
    """The square of a fraction below 2^-reach, with bits + 1 fraction bits."""
    places = plan.bits + 1
    short = field(g, plan.fraction_bits - places, places - reach)
    squared = (short * short) >> places
    return with_point(squared, places)


def next_to_zero(
    g: Bits, slope: Bits, slope_bits: int, plan: FractionPlan, options: Options
) -> tuple[Bits, Bits]:
    """A fraction, brought up to its leading one, times a slope with so many fraction bits.

    Where it has more leading zeros than are good, what comes out is uncertain: a power of two.
    """
    bits, width = plan.bits, plan.fraction_bits
    if not plan.exact:
        g = g | 1
    zeros = leading_zeros(g, options)
    product = (shift_left(g, zeros, width) >> (width - bits - 1)) * slope
    if field(product, bits + slope_bits + 1, 1):
        significand = field(product, slope_bits + 1, bits + 1)
        place = resize(zeros, place_bits(plan))
    else:
        significand = field(product, slope_bits, bits + 1)
        place = resize(zeros + 1, place_bits(plan))
    if not plan.exact:
        significand = select(zeros > plan.most_zeros, constant(1 << bits, bits + 1), significand)
    return place, significand


def place_bits(plan: FractionPlan) -> int:
    """Bits of the place of a leading one."""
    return plan.fraction_bits.bit_length()


def brought_up(value: Bits, most: int, plan: FractionPlan) -> tuple[Bits, Bits]:
    """The place of the leading one of a value below 1, one of the first `most`, and its significand."""
    place = constant(1, place_bits(plan))
    top = value.width - 1
    if field(value, top, 1) == 0:
        for half in halves(most - 1):
            if field(value, top + 1 - half, half) == 0:
                value = resize(value << half, top + 1)
                place = resize(place + half, place_bits(plan))
    return place, value >> (top - plan.bits)


def halves(most: int) -> tuple[int, ...]:
    """Powers of two, downwards, whose sum is `most` at least."""
    return tuple(1 << k for k in range(most.bit_length() - 1, -1, -1))
