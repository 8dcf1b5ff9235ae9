"""The sine of a fraction of a right angle: what is left to do when whole right angles are gone.

The fraction g, from 0 to below 1, comes with `fraction_bits`, two units off at most, as does what is missing
to 1 where it stands for g: the complement of its bits is a unit less than that, but g was cut off. With
tables its sine is found in segments. Without, below 1/2 by a polynomial in g^2, and elsewhere by one in (1 -
g)^2, the cosine of what is missing. Either way g next to 0 gets a *slope* s = sin(g) / g, which g with its
leading one on top is multiplied by, so the result is as good for its size.

What is lost, in units of the last of `bits` bits behind the leading one of the result:

- Next to 0, where g has up to `most_zeros` leading zeros and fraction_bits are `bits` and two more than
  these: g with its leading one on top is off by one unit at most, and by one for what is cut off it, each
  times s, which is below pi/2. What s is off by counts as often as g, less than 3/2 where the product stays
  below 2, for s is above 4/3; where it does not, all counts half. One unit is cut off the product.
- In other segments what these state, for a g that is off by a unit for what is cut off it, and by what it
  was.
- By polynomials what these state; and what g^2 is off by, times their derivative, below 2/3 for s and 4/3 for
  the cosine. g below 1/2 is a unit off for what is cut off, and what it was: so is g^2, and a unit for what
  is cut off it.

Where the sine comes near 1, it is computed a little too small, by more than all that is lost, so that it is
always below 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil, floor

from softfloat_py.options import Options, Tables
from softfloat_py.routines.elementary import functions
from softfloat_py.routines.elementary.fixed_point import horner
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.segments import Segments, segments, slope_in, value_in
from softfloat_py.routines.language import Bits, constant, field, phase, resize, select, shift_left
from softfloat_py.routines.leading_zeros import leading_zeros

# Of the first phase, and of the second, which few calls take.
INDEX_BITS = {Tables.NONE: (0, 0), Tables.SMALL: (5, 3), Tables.LARGE: (8, 4)}
STEEPEST = Fraction(11, 7)  # more than pi/2
SIGNS = (1, 1, -1, -1)  # of a sine and its derivatives


@dataclass(frozen=True, slots=True)
class Octants:
    """The slope of the sine, and the cosine, both of fractions below 1/2, by polynomials in their square."""

    slope: Polynomial
    cosine: Polynomial


@dataclass(frozen=True, slots=True)
class SinePlan:
    """How the sine of a fraction of a right angle is computed to `bits` bits behind its leading one.

    It is off by at most `error` units of the last of them, if the fraction has no more leading zeros than
    `most_zeros`.
    """

    bits: int
    most_zeros: int
    way: Segments | Octants
    error: int

    @property
    def fraction_bits(self) -> int:
        """Bits of the fraction."""
        return self.bits + 2 + self.most_zeros


@cache
def sine_plan(bits: int, most_zeros: int, index_bits: int) -> SinePlan:
    """The plan for so many bits, with segments of the length 2^-index_bits or, for 0, with polynomials."""
    most_zeros = max(most_zeros, index_bits)
    way, error = _by_segments(bits, most_zeros, index_bits) if index_bits else _by_octants(bits, most_zeros)
    return SinePlan(bits, most_zeros, way, ceil(error))


def _by_segments(bits: int, most_zeros: int, index_bits: int) -> tuple[Segments, Fraction]:
    """The segments, and how far off results are at most."""
    series = [
        functions.sine_of_right_angles_from(Fraction(j, 1 << index_bits)) for j in range(1, 1 << index_bits)
    ]
    off = 1 + Fraction(2, 1 << (3 + most_zeros - index_bits))
    way = segments("sine", functions.SINE_OF_RIGHT_ANGLES, series, SIGNS, index_bits, bits, off)
    return way, max(way.error, error_next_to_zero(2 * way.slope_error))


def _by_octants(bits: int, most_zeros: int) -> tuple[Octants, Fraction]:
    """The polynomials, and how far off results are at most."""
    places = bits + 1
    slope = polynomial(functions.SINE_OF_RIGHT_ANGLES, 2, places, bits)
    cosine = polynomial(functions.COSINE_OF_RIGHT_ANGLES, 2, places, places)
    of_square = 2 + Fraction(2, 1 << (1 + most_zeros))
    of_cosine = cosine.error + of_square * Fraction(4, 3)
    # next to 1 the cosine must stay below
    last = cosine.stages[-1]
    lowered = last._replace(coefficient=last.coefficient - floor(of_cosine) - 1)
    cosine = cosine._replace(stages=(*cosine.stages[:-1], lowered))
    return Octants(slope, cosine), max(
        2 * of_cosine + 1, error_next_to_zero(slope.error + of_square * Fraction(2, 3))
    )


def error_next_to_zero(slope_error: Fraction) -> Fraction:
    """What is lost there, where the slope is off by so many units of the last of `bits` bits."""
    return 2 * STEEPEST + Fraction(3, 2) * slope_error + 1


def sine(g: Bits, plan: SinePlan, options: Options) -> tuple[Bits, Bits]:
    """The sine of a fraction: the place of its leading one behind the point, from 1 on, and a significand."""
    phase("polynomial")
    if isinstance(plan.way, Segments):
        return sine_in_segments(g, plan, plan.way, options)
    return sine_by_octants(g, plan, plan.way, options)


def sine_in_segments(g: Bits, plan: SinePlan, of: Segments, options: Options) -> tuple[Bits, Bits]:
    """The sine by coefficients from tables."""
    index = g >> (plan.fraction_bits - of.index_bits)
    b = field(g, plan.fraction_bits - of.fraction_bits, of.fraction_bits - of.index_bits)
    slope = slope_in(index, b, of)
    if index == 0:
        place, significand = next_to_zero(g, slope, of.fraction_bits - of.index_bits, plan, options)
    else:
        place, significand = brought_up(value_in(index, b, slope, of), of.index_bits, plan)
    return place, significand


def sine_by_octants(g: Bits, plan: SinePlan, of: Octants, options: Options) -> tuple[Bits, Bits]:
    """The sine by polynomials of a square."""
    bits = plan.bits
    if field(g, plan.fraction_bits - 1, 1):
        lacking = g ^ ((1 << plan.fraction_bits) - 1)
        cosine = horner(square(lacking, plan), of.cosine)
        place, significand = constant(1, place_bits(plan)), resize(cosine, bits + 1)
    else:
        slope = horner(square(g, plan), of.slope)
        place, significand = next_to_zero(g, slope, bits, plan, options)
    return place, significand


def square(g: Bits, plan: SinePlan) -> Bits:
    """The square of a fraction below 1/2, with bits + 1 fraction bits."""
    places = plan.bits + 1
    short = field(g, plan.fraction_bits - places, places - 1)
    return (short * short) >> places


def next_to_zero(
    g: Bits, slope: Bits, slope_bits: int, plan: SinePlan, options: Options
) -> tuple[Bits, Bits]:
    """A fraction, brought up to its leading one, times a slope with so many fraction bits.

    Where it has more leading zeros than are good, what comes out is uncertain: a power of two.
    """
    bits, width = plan.bits, plan.fraction_bits
    g = g | 1
    zeros = leading_zeros(g, options)
    product = (shift_left(g, zeros, width) >> (width - bits - 1)) * slope
    if field(product, bits + slope_bits + 1, 1):
        significand = field(product, slope_bits + 1, bits + 1)
        place = resize(zeros, place_bits(plan))
    else:
        significand = field(product, slope_bits, bits + 1)
        place = resize(zeros + 1, place_bits(plan))
    significand = select(zeros > plan.most_zeros, constant(1 << bits, bits + 1), significand)
    return place, significand


def place_bits(plan: SinePlan) -> int:
    """Bits of the place of a leading one."""
    return plan.fraction_bits.bit_length()


def brought_up(value: Bits, most: int, plan: SinePlan) -> tuple[Bits, Bits]:
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
