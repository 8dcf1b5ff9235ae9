"""The logarithm of 2^e m and of 1 + v: the core of all functions that need one.

Here m is a significand of any width, from 1 to below 2, and v a floating number next to 0, which may itself
be known to a relative error only. What comes out is relative too: a significand of `bits` bits after its
leading one, off by at most `error` units of the last of them, however near to 1 the argument is. The
argument must not be 1.

Away from 1. log x = e log 2 + log m. With j the first t bits of m after its leading one and R_j a short
number near 1 / m, m R_j = 1 + u, u from 0 to 2^-t, and log m = -log R_j + u Q(u): an entry of a table, and a
polynomial. The sum is in fixed point, with F bits after the point. Lost are, in units of the last of them:

- half a unit in log 2, times |e|, which for |e| >= 2 is less, as part of |log x|, than for |e| = 1;
- half a unit in the entry;
- of u less than one unit where it has more bits than that, and the slope of the logarithm is log e at most;
- of the polynomial what it states, times u;
- of the product less than a unit.

|log x| is more than 2^-(t + 1) log e here, and no cancellation of e log 2 with log m goes below that; so bits
+ t + 1 fraction bits, less those of `SPARED`, which error bits of the significand stand for, are enough.

Next to 1, for 1 + u and 1 - u with 0 < u < 2^-t, log x = +-u Q(+-u). u is exact, or it is v, and is brought
to floating point, so that the error of u Q(u) is that of Q relative to Q, which is not below 15/16 log e.
Lost are, twice in units of the last place of a result, which is up to twice its leading one,

- what the polynomial states,
- where its argument is cut, less than a unit of that times the slope of Q, less than 3/5 log e;

and less than a unit of the result, for what is cut off the product.

Without tables R_j is a product of factors 1 + 2^-k, each taken where it leaves the product with m below 2:
shifts and additions do that. By induction 2 / (1 + 2^-k) <= m R < 2 after factor k, for (1 + 2^-k)^2 is more
than 1 + 2^-(k - 1). So m R / 2 = 1 - u with u below 2^-t, log m = log 2 - log R - u Q(-u).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.options import Options, Tables
from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.fixed_point import at_most, at_top, horner, horner_of_either_sign
from softfloat_py.routines.elementary.logarithm_by_shifts import (
    LogarithmByShifts,
    logarithm_by_shifts,
    logarithm_by_shifts_plan,
)
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.two_phases import Approximation
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    look_up,
    phase,
    resize,
    select,
    shift_left,
    subtract_modulo,
    unrolled,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.tables import Table

INDEX_BITS = {Tables.NONE: 4, Tables.SMALL: 5, Tables.LARGE: 8}
INDEX_BITS_BY_SHIFTS = 4
SPARED = 2  # fraction bits of the sum that error bits of the result stand for

# Leading zeros of log e after the point, where it is less than 1; log e is more than 2^-that.
ZEROS_OF_FACTOR = {2: 0, power_series.E: 0, 10: 2}


@dataclass(frozen=True, slots=True)
class LogarithmPlan:
    """How the logarithm to a base is computed with `bits` bits after the leading one, of arguments 2^e m with
    m of `significand_bits` and |e| below 2^whole_bits; off by at most `error` units of the last of them.
    """

    base: int | None
    bits: int
    significand_bits: int
    whole_bits: int
    index_bits: int
    fixed_bits: int
    log_2: int
    reciprocal_bits: int  # after the point
    reciprocals: Table | None
    logarithms: Table | None
    argument_bits: int  # fraction bits of u away from 1
    far: Polynomial | LogarithmByShifts
    near_argument_bits: int  # and next to 1
    near: Polynomial
    error: int

    @property
    def zeros(self) -> int:
        """Leading zeros after the point that a logarithm has at the most, away from 1."""
        return self.index_bits + 1 + ZEROS_OF_FACTOR[self.base]


@cache
def logarithm_plan(
    base: int | None, bits: int, significand_bits: int, whole_bits: int, tables: Tables, by_shifts: bool
) -> LogarithmPlan:
    """The plan for a number of bits; `significand_bits` must be more than those of an index by 2."""
    t = index_bits(tables, by_shifts)
    zeros = t + 1 + ZEROS_OF_FACTOR[base]
    fixed_bits = bits + zeros - SPARED
    unit = Fraction(1, 1 << fixed_bits)
    places = argument_bits = 0
    reciprocal_table = logarithm_table = None
    far: Polynomial | LogarithmByShifts
    if by_shifts:
        far = logarithm_by_shifts_plan(base, significand_bits, fixed_bits)
        lost = far.error
    else:
        if tables is Tables.NONE:
            places = t * (t + 1) // 2 + 1  # of R and the halving
            series = power_series.logarithm_of_one_less(base)
        else:
            places = reciprocal_bits(t)
            series = power_series.logarithm_of_one_and(base)
            reciprocal_table = Table(reciprocals(t, places), places + 1, name=f"reciprocals_{t}")
            logarithm_table = logarithms(base, t, fixed_bits)
        argument_bits = min(significand_bits - 1 + places, fixed_bits)
        far = polynomial(series, t, argument_bits, fixed_bits - t + 1)
        lost = Fraction(1, 2) + 1 + far.error / 2
        if tables is Tables.NONE:
            lost += Fraction(1, 2) * (t + 1)
        if argument_bits < significand_bits - 1 + places:
            lost += Fraction(3, 2)
    lost += Fraction(1, 2) * (base != 2)
    away = lost * unit * 2 ** (zeros + bits) + 1
    near_bits = bits + 2 + ZEROS_OF_FACTOR[base]
    near_argument_bits = min(significand_bits, near_bits)
    near = polynomial(
        power_series.logarithm_of_one_and(base), t, near_argument_bits, near_bits, both_sides=True
    )
    log_e = Fraction(1 << 64, power_series.ln_of_base(base, 64))
    of_q = (near.error + Fraction(3, 5) * log_e) / (Fraction(15, 16) * log_e)
    next_to = 2 * of_q / 2 ** (near_bits - bits) + 1
    log_2 = power_series.log(base, Fraction(2), fixed_bits)
    return LogarithmPlan(
        base, bits, significand_bits, whole_bits, t, fixed_bits, log_2,
        places, reciprocal_table, logarithm_table, argument_bits, far, near_argument_bits, near,
        ceil(max(away, next_to)),
    )  # fmt: skip


def index_bits(tables: Tables, by_shifts: bool) -> int:
    """t."""
    return INDEX_BITS_BY_SHIFTS if by_shifts else INDEX_BITS[tables]


@cache
def reciprocal_bits(t: int) -> int:
    """The least number of fraction bits with which m R_j stays below 1 + 2^-t."""
    n, places = 1 << t, t
    while any((n + j + 1) * r > (n + 1) << places for j, r in enumerate(reciprocals(t, places))):
        places += 1
    return places


@cache
def reciprocals(t: int, places: int) -> tuple[int, ...]:
    """R_j, the least numbers of so many fraction bits not below 1 / (1 + j 2^-t)."""
    n = 1 << t
    return tuple(-(-(n << places) // (n + j)) for j in range(n))


@cache
def logarithms(base: int | None, t: int, fixed_bits: int) -> Table:
    """-log R_j."""
    places = reciprocal_bits(t)
    entries = [power_series.log(base, Fraction(1 << places, r), fixed_bits) for r in reciprocals(t, places)]
    return Table(tuple(entries), fixed_bits + 1, name=f"logarithms_{fixed_bits}_{base or 'e'}")


def logarithm_of(
    exponent: Bits, significand: Bits, offset: int, plan: LogarithmPlan, options: Options
) -> Approximation:
    """The logarithm of 2^exponent significand, which is not 1; the exponent is a two's complement number, and
    `offset` is what is added to the exponent of the result, to bias it, say.
    """
    phase("reduce")
    t, low = plan.index_bits, plan.significand_bits - 1 - plan.index_bits
    index = field(significand, low, t)
    above = (exponent == 0) & (index == 0)
    below = (exponent == (1 << exponent.width) - 1) & (index == (1 << t) - 1)
    if above | below:
        ahead = resize(field(significand, 0, low) << 1, low + 1)
        behind = subtract_modulo(0, field(significand, 0, low + 1), low + 1)
        value = next_to_one(below, select(below, behind, ahead), offset, exponent.width, plan, options)
    else:
        value = away_from_one(exponent, significand, offset, plan, options)
    return value


def next_to_one(
    negative: Bits, u: Bits, offset: int, exponent_bits: int, plan: LogarithmPlan, options: Options
) -> Approximation:
    """The logarithm of 1 + u, or 1 - u where `negative` is set; u is below 2^-t and comes with as many
    fraction bits as m has bits.
    """
    phase("next to 1")
    zeros = leading_zeros(u, options)
    significand = shift_left(u, zeros, u.width)
    exponent = subtract_modulo((-plan.index_bits - 1) % (1 << exponent_bits), zeros, exponent_bits)
    argument = u >> (plan.significand_bits - plan.near_argument_bits)
    return of_one_and(negative, exponent, significand, argument, offset, plan, options)


def of_one_and(
    negative: Bits,
    exponent: Bits,
    significand: Bits,
    argument: Bits,
    offset: int,
    plan: LogarithmPlan,
    options: Options,
) -> Approximation:
    """The logarithm of 1 + v, or 1 - v, v = 2^exponent significand and below 2^-t, the significand with its
    leading one; argument is v with the fraction bits that the plan says.
    """
    phase("polynomial")
    product = significand * horner_of_either_sign(argument, negative, plan.near)
    phase("normalise")
    # v Q(v) lies between 15/16 log e and 2 (1 + 2^-t) log e
    whole = product.width - (significand.width - 1) - plan.near.fraction_bits
    top = whole + 1 + plan.zeros - plan.index_bits - 1
    zeros = leading_zeros(product >> (product.width - top), options)
    product = shift_left(product, resize(zeros, top.bit_length()), product.width)
    exponent = add_modulo(exponent, (whole - 1 + offset) % (1 << exponent.width), exponent.width)
    exponent = subtract_modulo(exponent, zeros, exponent.width)
    return Approximation(negative, exponent, product >> (product.width - plan.bits - 1))


def away_from_one(
    exponent: Bits, significand: Bits, offset: int, plan: LogarithmPlan, options: Options
) -> Approximation:
    """The logarithm of 2^exponent significand, which is not next to 1."""
    if isinstance(plan.far, LogarithmByShifts):
        phase("shift and add")
        part = logarithm_by_shifts(significand, plan.far)
    elif plan.reciprocals is None:
        part = by_factors(significand, plan.far, plan)
    else:
        part = by_tables(significand, plan.far, plan)
    phase("add")
    sign = field(exponent, exponent.width - 1, 1)
    size = resize(select(sign, subtract_modulo(0, exponent, exponent.width), exponent), plan.whole_bits)
    width = plan.whole_bits + plan.fixed_bits
    whole = size << plan.fixed_bits if plan.base == 2 else resize(size * plan.log_2, width)
    if sign:
        number = whole - part
    else:
        number = resize(whole + part, width)
    phase("normalise")
    zeros = leading_zeros(number >> (plan.fixed_bits - plan.zeros), options)
    number = shift_left(number, zeros, width)
    exponent = subtract_modulo((plan.whole_bits - 1 + offset) % (1 << exponent.width), zeros, exponent.width)
    return Approximation(sign, exponent, number >> (width - plan.bits - 1))


def by_tables(significand: Bits, far: Polynomial, plan: LogarithmPlan) -> Bits:
    """log m, by a reciprocal and its logarithm."""
    assert plan.reciprocals is not None
    assert plan.logarithms is not None
    phase("table")
    t, places = plan.index_bits, plan.significand_bits - 1 + plan.reciprocal_bits
    index = field(significand, plan.significand_bits - 1 - t, t)
    product = significand * look_up(plan.reciprocals, index)
    u = field(product, 0, places - t) >> (places - plan.argument_bits)
    entry = look_up(plan.logarithms, index)
    phase("polynomial")
    series = horner(u, far)
    return entry + ((u * series) >> (plan.argument_bits + far.fraction_bits - plan.fixed_bits))


def by_factors(significand: Bits, far: Polynomial, plan: LogarithmPlan) -> Bits:
    """log m, by factors 1 + 2^-k."""
    phase("factors")
    t, places = plan.index_bits, plan.significand_bits - 1 + plan.reciprocal_bits
    product = resize(significand << (plan.reciprocal_bits - 1), places)
    part = constant(plan.log_2, plan.fixed_bits + 1)
    for k in unrolled(1, t + 1):
        larger = product + (product >> k)
        if field(larger, places, 1) == 0:
            product = resize(larger, places)
            part = part - power_series.log(plan.base, 1 + Fraction(1, 1 << k), plan.fixed_bits)
    u = subtract_modulo(0, product, places - t) >> (places - plan.argument_bits)
    phase("polynomial")
    series = horner(u, far)
    return part - ((u * series) >> (plan.argument_bits + far.fraction_bits - plan.fixed_bits))


# -- of 1 and a floating number -----------------------------------------------------------------------------


def logarithm_of_one_and(
    negative: Bits,
    exponent: Bits,
    significand: Bits,
    offset: int,
    plan: LogarithmPlan,
    options: Options,
) -> Approximation:
    """The logarithm of 1 + v, or of 1 - v where `negative` is set: v = 2^exponent significand, which has its
    leading one; v is not 0, and below 1 if it is to be taken away.
    """
    phase("reduce")
    if is_next_to_zero(exponent, plan):
        argument = in_fixed_point(exponent, significand, plan)
        value = of_one_and(negative, exponent, significand, argument, offset, plan, options)
    else:
        whole, sum_ = one_and(negative, exponent, significand, plan, options)
        value = away_from_one(whole, sum_, offset, plan, options)
    return value


def is_next_to_zero(exponent: Bits, plan: LogarithmPlan) -> Bits:
    """Whether a number with this exponent is below 2^-t."""
    # in two's complement, exponents are compared from the lowest one there is
    lowest = 1 << (exponent.width - 1)
    return add_modulo(exponent, lowest, exponent.width) < lowest - plan.index_bits


def in_fixed_point(exponent: Bits, significand: Bits, plan: LogarithmPlan) -> Bits:
    """2^exponent significand, below 2^-t, with the fraction bits that the polynomial next to 1 takes."""
    width = plan.near_argument_bits - plan.index_bits
    placed = at_top(significand, width)
    distance = subtract_modulo((-plan.index_bits - 1) % (1 << exponent.width), exponent, exponent.width)
    return placed >> at_most(distance, width - 1)


def one_and(
    negative: Bits, exponent: Bits, significand: Bits, plan: LogarithmPlan, options: Options
) -> tuple[Bits, Bits]:
    """1 + v, or 1 - v, which is at least 2^-(bits of the significand), as an exponent and a significand."""
    phase("sum")
    width = plan.significand_bits
    is_fraction = field(exponent, exponent.width - 1, 1)
    one, v = constant(1 << (width - 1), width), at_top(significand, width)
    distance = select(is_fraction, subtract_modulo(0, exponent, exponent.width), exponent)
    larger, smaller = select(is_fraction, one, v), select(is_fraction, v, one)
    smaller = smaller >> at_most(distance, width - 1)
    whole = select(is_fraction, constant(0, exponent.width), exponent)
    if negative:
        difference = larger - smaller
        zeros = leading_zeros(difference >> max(width - 1 - significand.width, 0), options)
        total = shift_left(difference, zeros, width)
        whole = subtract_modulo(0, zeros, exponent.width)
    else:
        total = larger + smaller
        if field(total, width, 1):
            total = resize(total >> 1, width)
            whole = add_modulo(whole, 1, exponent.width)
        else:
            total = resize(total, width)
    return whole, total
