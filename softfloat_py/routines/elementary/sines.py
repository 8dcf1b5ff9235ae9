"""The sine of a fraction of a right angle: what is left to do when whole right angles are gone.

In segments it is as `slopes` says. By polynomials it is the fraction times a slope below 1/2, and from there
on the cosine of what is missing to 1. Their derivatives by the square are below 2/3 and 4/3, the slope is at
most pi/2.

By shifts and additions it comes from rotations (`unit_vectors`), with F fraction bits, but next to 0, below
2^-REACH, and as near to 1: there it is by polynomials, shorter ones than below 1/2. The sine is not less than
the fraction, above 2^-REACH, so bits + REACH fraction bits, less those of SPARED, which error bits of the
result stand for, are enough. A fraction that is not exact is off by two units, and the sine by 11/7 as much.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.options import Options, Tables
from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.fixed_point import horner
from softfloat_py.routines.elementary.polynomials import polynomial
from softfloat_py.routines.elementary.segments import Segments
from softfloat_py.routines.elementary.slopes import (
    FractionPlan,
    Octant,
    OddFunction,
    Rotations,
    brought_up,
    error_next_to_zero,
    error_of_square,
    in_segments,
    lowered,
    next_to_zero,
    place_bits,
    plan_in_segments,
    square,
)
from softfloat_py.routines.elementary.unit_vectors import cosine_of, sine_of, vector, vector_plan
from softfloat_py.routines.language import Bits, constant, field, phase, resize

STEEPEST = Fraction(11, 7)  # more than pi/2
ROTATION_INDEX_BITS = {Tables.NONE: 0, Tables.SMALL: 7}  # as much memory as segments take
REACH = 4  # of the ends, where rotations do not serve
SPARED = 2  # fraction bits that error bits of the result stand for
SINE = OddFunction(
    "sine",
    power_series.SINE_OF_RIGHT_ANGLES,
    power_series.sine_of_right_angles_from,
    signs=(1, 1, -1, -1),
    steepest=STEEPEST,
    reach=0,
)


@cache
def sine_plan(
    bits: int, most_zeros: int, exact: bool, index_bits: int, by_shifts: bool = False
) -> FractionPlan:
    """The plan for so many bits, with 2^index_bits segments or, for 0, with polynomials; or by shifts."""
    way: Octant | Rotations
    if by_shifts:
        way = rotations(bits, most_zeros, exact, index_bits)
    elif index_bits:
        return plan_in_segments(SINE, bits, most_zeros, exact, index_bits)
    else:
        way = octant(bits, most_zeros, exact, 1)
    most_zeros = max(most_zeros, bits + 1 if exact else 0)
    return FractionPlan(bits, most_zeros, exact, way, ceil(max(way.sine_error, way.cosine_error)))


def octant(bits: int, most_zeros: int, exact: bool, reach: int) -> Octant:
    """Sine and cosine by polynomials, of fractions below 2^-reach."""
    slope = polynomial(power_series.SINE_OF_RIGHT_ANGLES, 2 * reach, bits + 1, bits)
    cosine = polynomial(power_series.COSINE_OF_RIGHT_ANGLES, 2 * reach, bits + 1, bits + 1)
    of_square = error_of_square(most_zeros, exact)
    of_slope, of_cosine = slope.error + of_square * Fraction(2, 3), cosine.error + of_square * Fraction(4, 3)
    return Octant(
        reach, slope, lowered(cosine, of_cosine), error_next_to_zero(of_slope, STEEPEST), 2 * of_cosine + 1
    )


def rotations(bits: int, most_zeros: int, exact: bool, index_bits: int) -> Rotations:
    """Sine and cosine by rotations, from 2^index_bits places."""
    ends = octant(bits, most_zeros, exact, REACH)
    fixed_bits = bits + REACH - SPARED
    of_vector = vector_plan(fixed_bits, index_bits)
    assert of_vector.index_bits in (0, *range(REACH, fixed_bits))
    error = of_vector.error
    if not exact:
        error += 2 * STEEPEST * Fraction(1 << fixed_bits, 1 << (bits + 2 + most_zeros))
    error = error * (1 << SPARED) + 1
    return Rotations(ends, of_vector, max(ends.sine_error, error), max(ends.cosine_error, error))


def sine(g: Bits, plan: FractionPlan, options: Options) -> tuple[Bits, Bits]:
    """The sine of a fraction: the place of its leading one behind the point, from 1 on, and a significand."""
    phase("polynomial")
    if isinstance(plan.way, Segments):
        return in_segments(g, plan, plan.way, options)
    if isinstance(plan.way, Rotations):
        return sine_by_rotations(g, plan, plan.way, options)
    return sine_in_octants(g, plan, plan.way, options)


def sine_by_rotations(g: Bits, plan: FractionPlan, of: Rotations, options: Options) -> tuple[Bits, Bits]:
    """The sine by rotations, and by polynomials next to 0 and 1."""
    end = field(g, plan.fraction_bits - REACH, REACH)
    if (end == 0) | (end == (1 << REACH) - 1):
        place, significand = sine_in_octants(g, plan, of.ends, options)
    else:
        place, significand = brought_up(sine_of(vector(g, of.vector), of.vector), REACH, plan)
    return place, significand


def sine_in_octants(g: Bits, plan: FractionPlan, of: Octant, options: Options) -> tuple[Bits, Bits]:
    """The sine by polynomials of a square."""
    bits = plan.bits
    if field(g, plan.fraction_bits - 1, 1):
        missing = g ^ ((1 << plan.fraction_bits) - 1)
        place = constant(1, place_bits(plan))
        significand = resize(horner(square(missing, of.reach, plan), of.cosine), bits + 1)
    else:
        slope = horner(square(g, of.reach, plan), of.slope)
        place, significand = next_to_zero(g, slope, bits, plan, options)
    return place, significand


def sine_and_cosine(g: Bits, plan: FractionPlan, options: Options) -> tuple[Bits, Bits, Bits]:
    """Of a fraction below 1/2: the place of the sine's leading one, its significand, and that of the cosine,
    whose place is 1.
    """
    assert not isinstance(plan.way, Segments)
    if isinstance(plan.way, Octant):
        return both_in_octants(g, plan, plan.way, options)
    if field(g, plan.fraction_bits - REACH, REACH) == 0:
        place, of_sine, of_cosine = both_in_octants(g, plan, plan.way.ends, options)
    else:
        turned = vector(g, plan.way.vector)
        place, of_sine = brought_up(sine_of(turned, plan.way.vector), REACH, plan)
        value = cosine_of(turned, plan.way.vector)
        of_cosine = value >> (value.width - 1 - plan.bits)
    return place, of_sine, of_cosine


def both_in_octants(g: Bits, plan: FractionPlan, of: Octant, options: Options) -> tuple[Bits, Bits, Bits]:
    """Sine and cosine by polynomials of one square."""
    of_square = square(g, of.reach, plan)
    place, of_sine = next_to_zero(g, horner(of_square, of.slope), plan.bits, plan, options)
    return place, of_sine, resize(horner(of_square, of.cosine), plan.bits + 1)
