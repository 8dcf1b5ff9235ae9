"""The sine of a fraction of a right angle: what is left to do when whole right angles are gone.

In segments it is as `slopes` says. By polynomials it is the fraction times a slope below 1/2, and from there
on the cosine of what is missing to 1. Their derivatives by the square are below 2/3 and 4/3, the slope is at
most pi/2.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.options import Options
from softfloat_py.routines.elementary import functions
from softfloat_py.routines.elementary.fixed_point import horner
from softfloat_py.routines.elementary.polynomials import polynomial
from softfloat_py.routines.elementary.segments import Segments
from softfloat_py.routines.elementary.slopes import (
    FractionPlan,
    Octant,
    OddFunction,
    error_next_to_zero,
    error_of_square,
    in_segments,
    lowered,
    next_to_zero,
    place_bits,
    plan_in_segments,
    square,
)
from softfloat_py.routines.language import Bits, constant, field, phase, resize

STEEPEST = Fraction(11, 7)  # more than pi/2
SINE = OddFunction(
    "sine",
    functions.SINE_OF_RIGHT_ANGLES,
    functions.sine_of_right_angles_from,
    signs=(1, 1, -1, -1),
    steepest=STEEPEST,
    reach=0,
)


@cache
def sine_plan(bits: int, most_zeros: int, exact: bool, index_bits: int) -> FractionPlan:
    """The plan for so many bits, with 2^index_bits segments or, for 0, with polynomials."""
    if index_bits:
        return plan_in_segments(SINE, bits, most_zeros, exact, index_bits)
    way = octant(bits, most_zeros, exact)
    most_zeros = max(most_zeros, bits + 1 if exact else 0)
    return FractionPlan(bits, most_zeros, exact, way, ceil(max(way.sine_error, way.cosine_error)))


def octant(bits: int, most_zeros: int, exact: bool) -> Octant:
    """Sine and cosine by polynomials."""
    slope = polynomial(functions.SINE_OF_RIGHT_ANGLES, 2, bits + 1, bits)
    cosine = polynomial(functions.COSINE_OF_RIGHT_ANGLES, 2, bits + 1, bits + 1)
    of_square = error_of_square(most_zeros, exact)
    of_slope, of_cosine = slope.error + of_square * Fraction(2, 3), cosine.error + of_square * Fraction(4, 3)
    return Octant(
        slope, lowered(cosine, of_cosine), error_next_to_zero(of_slope, STEEPEST), 2 * of_cosine + 1
    )


def sine(g: Bits, plan: FractionPlan, options: Options) -> tuple[Bits, Bits]:
    """The sine of a fraction: the place of its leading one behind the point, from 1 on, and a significand."""
    phase("polynomial")
    if isinstance(plan.way, Segments):
        return in_segments(g, plan, plan.way, options)
    return sine_in_octants(g, plan, plan.way, options)


def sine_in_octants(g: Bits, plan: FractionPlan, of: Octant, options: Options) -> tuple[Bits, Bits]:
    """The sine by polynomials of a square."""
    bits = plan.bits
    if field(g, plan.fraction_bits - 1, 1):
        missing = g ^ ((1 << plan.fraction_bits) - 1)
        place = constant(1, place_bits(plan))
        significand = resize(horner(square(missing, plan), of.cosine), bits + 1)
    else:
        slope = horner(square(g, plan), of.slope)
        place, significand = next_to_zero(g, slope, bits, plan, options)
    return place, significand
