"""The tangent of a fraction g of a right angle below one half, or its reciprocal, the tangent of what is
missing.

With tables the tangent, below 1 there, is found in segments, as `slopes` says; in the first one it is no
steeper than 5/3. A reciprocal is a quotient, twice as far off as the tangent at most, so the tangent is
computed with SPARE_BITS more bits. What is divided is the largest number below 2, which costs a unit at most.

Without tables, or by shifts and additions, it is the quotient of sine and cosine, or of cosine and sine, off
by what `sines` says, with spare bits too. Both have their leading one on top, from 1 to below 2, the cosine
from 2^(1/2) on. The quotient q of n by d is n / d, or 2 n / d if n < d. It is off by q / n as often as n, and
by q / d as often as d: twice the error of the sine and once that of the cosine are enough, or 2^(1/2) times
both.

A quotient loses what `quotients` says. Too small by that it may be just below 1, and becomes 1, which is
nearer.

Where the fraction has too many leading zeros, its tangent or sine is a power of two. So is the tangent that
comes of it, or less by a unit, which is as uncertain; of a quotient by the cosine this has to be seen to.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import power_series, quotients
from softfloat_py.routines.elementary.segments import Segments
from softfloat_py.routines.elementary.sines import sine_and_cosine, sine_plan
from softfloat_py.routines.elementary.slopes import (
    FractionPlan,
    OddFunction,
    in_segments,
    plan_in_segments,
)
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    select,
    subtract_modulo,
)

TANGENT = OddFunction(
    "tangent",
    power_series.TANGENT_OF_RIGHT_ANGLES,
    power_series.tangent_of_right_angles_from,
    signs=(1,),
    steepest=Fraction(5, 3),
    reach=1,
)
SPARE_BITS = 1


@dataclass(frozen=True, slots=True)
class TangentPlan:
    """How a tangent or its reciprocal is computed to `bits` bits behind the leading one, from the tangent of
    the fraction or, without tables, from its sine and cosine.
    """

    bits: int
    fraction: FractionPlan
    error: int

    @property
    def fraction_bits(self) -> int:
        """Bits of the fraction."""
        return self.fraction.fraction_bits


@cache
def tangent_plan(
    bits: int, most_zeros: int, exact: bool, index_bits: int, by_shifts: bool = False
) -> TangentPlan:
    """The plan for so many bits, with 2^index_bits segments or, for 0, with polynomials; or by shifts."""
    if index_bits and not by_shifts:
        fraction = plan_in_segments(TANGENT, bits + SPARE_BITS, most_zeros, exact, index_bits)
        errors = Fraction(2 * fraction.error)
    else:
        fraction = sine_plan(bits + SPARE_BITS, most_zeros, exact, index_bits, by_shifts)
        assert not isinstance(fraction.way, Segments)
        of_sine, of_cosine = fraction.way.sine_error, fraction.way.cosine_error
        errors = max(2 * of_sine + of_cosine, Fraction(3, 2) * (of_sine + of_cosine))
    return TangentPlan(bits, fraction, ceil(errors / (1 << SPARE_BITS)) + 1 + quotients.ERROR)


def tangent(
    g: Bits, inverted: Bits, plan: TangentPlan, exponent_bits: int, fmt: BinaryFormat, options: Options
) -> tuple[Bits, Bits]:
    """The tangent of a fraction, or its reciprocal: a biased exponent less one, and a significand."""
    phase("polynomial")
    if isinstance(plan.fraction.way, Segments):
        return tangent_in_segments(g, inverted, plan, plan.fraction.way, exponent_bits, fmt, options)
    return tangent_as_quotient(g, inverted, plan, exponent_bits, fmt, options)


def tangent_in_segments(
    g: Bits,
    inverted: Bits,
    plan: TangentPlan,
    of: Segments,
    exponent_bits: int,
    fmt: BinaryFormat,
    options: Options,
) -> tuple[Bits, Bits]:
    """The tangent by coefficients from tables, or a quotient of one and that."""
    place, found = in_segments(g, plan.fraction, of, options)
    if inverted:
        below_two = constant((1 << found.width) - 1, found.width)
        significand = quotient_above_one(below_two, found, plan.bits, options)
        exponent_less_one = add_modulo((fmt.bias - 2) % (1 << exponent_bits), place, exponent_bits)
    else:
        significand = found >> SPARE_BITS
        exponent_less_one = subtract_modulo(fmt.bias - 1, place, exponent_bits)
    return exponent_less_one, significand


def tangent_as_quotient(
    g: Bits,
    inverted: Bits,
    plan: TangentPlan,
    exponent_bits: int,
    fmt: BinaryFormat,
    options: Options,
) -> tuple[Bits, Bits]:
    """The tangent as the quotient of sine and cosine."""
    place, sine, cosine = sine_and_cosine(g, plan.fraction, options)
    dividend, divisor = sine, cosine
    exponent_less_one = subtract_modulo(fmt.bias, place, exponent_bits)
    if inverted:
        dividend, divisor = cosine, sine
        exponent_less_one = add_modulo((fmt.bias - 2) % (1 << exponent_bits), place, exponent_bits)
    less = dividend < divisor
    dividend = select(less, dividend << 1, dividend)
    exponent_less_one = subtract_modulo(exponent_less_one, less, exponent_bits)
    significand = quotient_above_one(dividend, divisor, plan.bits, options)
    if not plan.fraction.exact:
        power_of_two = constant(1 << plan.bits, plan.bits + 1)
        significand = select(sine == 1 << plan.fraction.bits, power_of_two, significand)
    return exponent_less_one, significand


def quotient_above_one(dividend: Bits, divisor: Bits, bits: int, options: Options) -> Bits:
    """A quotient from 1 to below 2."""
    found = quotients.quotient(dividend, divisor, bits, options)
    return select(field(found, bits, 1), found, constant(1 << bits, bits + 1))
