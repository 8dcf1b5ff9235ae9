"""2^f and 2^-f of a fraction f, together: the core of sinh and cosh.

By polynomials. With j the first t bits of f and r the rest, below 2^-t, 2^f = T_j 2^r and 2^-f = U_j 2^-r,
where U_j = T_k / 2 with k = 2^t - j: one table has both. 2^r = C + r S and 2^-r = C - r S, where C and S are
polynomials of r^2, which is below 2^-2t: both powers take little more than one by a polynomial of r. C is 1 +
c, and

    2^f = 1 + (T_j - 1) + m + (T_j - 1) m,    m = c + r S,
    2^-f = 1 - (1 - U_j) - l + (1 - U_j) l,   l = r S - c,

with m and l below 2^-t: so the products with T_j - 1 and 1 - U_j take t bits less.

What is lost, in units of the last of F fraction bits, of 2^f:

- of r^2, which is cut, a unit times the slopes of C and r S;
- of C, which has GUARD bits more, a part of what it states, and less than a unit for these bits; of S, which
  has t bits less, what it states, times r < 2^-t; less than a unit for their product. All of that is
  multiplied by T_j < 2;
- of the entry half a unit, times 1 + m < 2;
- in the product less than a unit for the bits left out of the entry, and less than one for its own.

Of 2^-f, as much as is multiplied by T_j there is multiplied by U_j <= 1; 1 - U_j loses a unit for half of an
entry, and half of what that does; and the product as much. Together that is less than half of what 2^f loses,
and two units.

l is not negative: where r^2 is not 0 with F fraction bits, r S is larger by far, and else c is 0.

By shifts and additions (`shift_and_add`) 2^f is found, and 2^-f as half of 2^(1 - f), from 1 - f less a unit:
half of what one loses, of the 2 ln 2 units for that unit, and of a unit for what is cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.routines.elementary import power_series, reals
from softfloat_py.routines.elementary.exponential import PowerPlan
from softfloat_py.routines.elementary.fixed_point import horner
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.shift_and_add import PowerByShifts, power_by_shifts
from softfloat_py.routines.language import Bits, constant, field, look_up, phase, resize, with_point
from softfloat_py.routines.tables import Table

GUARD = 2
SLOPE = Fraction(2, 5)  # above those of C and r S by r^2, which are below 0.28 and 0.07


@dataclass(frozen=True, slots=True)
class OppositePlan:
    """How 2^f and 2^-f are computed for a fraction f of `bits` bits, with `bits` fraction bits; each is off
    by at most `error` units of the last of them, if f is exact. `table` has T_j - 1, for j up to
    2^index_bits.
    """

    bits: int
    index_bits: int
    table: Table
    even: Polynomial
    odd: Polynomial
    error: Fraction


@cache
def opposite_plan(bits: int, index_bits: int) -> OppositePlan:
    """The plan of both powers."""
    t = index_bits
    even = polynomial(power_series.hyperbolic_cosine(2), 2 * t, bits, bits + GUARD)
    odd = polynomial(power_series.hyperbolic_sine(2), 2 * t, bits, bits - t)
    assert even.stages[-1].coefficient == 1 << (bits + GUARD)
    entries = tuple(reals.power_of_two(Fraction(j, 1 << t), bits) - (1 << bits) for j in range((1 << t) + 1))
    of_both = SLOPE + even.error / 2**GUARD + 1 + odd.error + 1
    error = 2 * of_both + 1 + 2
    return OppositePlan(bits, t, Table(entries, bits + 1, name=f"powers_of_two_{bits}"), even, odd, error)


def plan_of_opposite(power: PowerPlan | PowerByShifts) -> OppositePlan | PowerByShifts:
    """The plan of both powers that goes with one of 2^f."""
    if isinstance(power, PowerByShifts):
        return power
    return opposite_plan(power.bits, power.index_bits)


def opposite_powers(fraction: Bits, plan: OppositePlan | PowerByShifts) -> tuple[Bits, Bits]:
    """2^f and 2^-f, with one bit before the point; the one is off by at most `error` of the plan, the other
    by half as much and two units.
    """
    bits = plan.bits
    if isinstance(plan, PowerByShifts):
        phase("shift and add")
        return power_by_shifts(fraction, plan), resize(power_by_shifts(~fraction, plan) >> 1, bits + 1)
    phase("polynomial")
    t = plan.index_bits
    rest = with_point(field(fraction, 0, bits - t), bits)
    square = with_point(resize((rest * rest) >> bits, bits - 2 * t), bits)
    even = with_point(field(horner(square, plan.even), 0, bits + GUARD - 2 * t) >> GUARD, bits)
    odd = with_point((rest * horner(square, plan.odd)) >> (bits - t), bits)
    more = with_point(resize(even + odd, bits - t), bits)
    less = with_point(resize(odd - even, bits - t), bits)
    one = constant(1 << bits, bits + 1)
    if t == 0:
        return one | more, one - less
    index = field(fraction, bits - t, t)
    entry = with_point(resize(look_up(plan.table, index), bits), bits)
    power = with_point(one | resize(entry + more + ((more * (entry >> t)) >> (bits - t)), bits), bits)
    other = look_up(plan.table, constant(1 << t, t + 1) - index)
    lacking = with_point(resize((one - other) >> 1, bits), bits)
    taken = lacking + less - ((less * (lacking >> t)) >> (bits - t))
    opposite = with_point(one - taken, bits)
    return power, opposite
