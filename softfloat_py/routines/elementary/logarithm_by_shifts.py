"""log m for m from 1 to below 2, by shifts and additions: pseudo-division, for CPUs without a multiplier.

Let u be 1 - m / 2, at most 1/2. For k = 1, 2, 3... m / 2 is multiplied by 1 + 2^-k where it stays below 1,
and c_k = log(1 + 2^-k) is taken off log 2. With t = u + 2^-k u that is where t is 2^-k or more, for 1 - u
times 1 + 2^-k is 1 - (t - 2^-k): so u becomes t without its highest bit. By induction u is at most 1 / (2^k +
1) after step k: where it stays, t is below 2^-k; where not,

    (1 + 2^-k) / (2^(k - 1) + 1) - 2^-k = 1 / (2^k + 2).

So u needs a bit less after each step, and t no more than u had before. After `steps` steps u^2 / 2 is below
half of 2^-F, F being the fraction bits asked for, and log(1 - u) is -u log e: nothing is left to do for base
e, and for others a product of half the bits. Half the steps of digit-by-digit methods do. Common practice, no
source.

With GUARD bits more, u is computed with F + GUARD bits. What is cut off in a step makes u and its bound less
than a unit different from what is said above; the bound below 2^-k has 2^-2k / 3 and more to spare, which is
several units, as 2k is at most F + 1.

What is lost, in units of the last of F + GUARD bits:

- in each step a unit of u, as part of 1 - u, which is not below 1 - 2^-k: all together `steps` + 2, times log
  e; where u comes with more bits, what is cut off at first is less than a unit of m / 2, which is 1/2 at
  least: two more;
- half a unit of log 2 and of each c_k; as this alone makes the result too small, log 2 is raised by as much,
  so that what is less than nothing cannot come out;
- of log(1 - u), 2^-K being what u is below after K steps, u^2 / 2 (1 + 2^(1 - K)), times log e;
- in a product, of u what is cut off, times log e; of log e, which has K + SPARE fraction bits, half a unit
  times 2^-K; and a unit for what is cut off the product.

To that comes a unit of F bits for the guard bits that are cut off.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.routines.elementary import power_series, reals
from softfloat_py.routines.elementary.fixed_point import moved
from softfloat_py.routines.language import Bits, constant, field, resize, subtract_modulo, unrolled

GUARD = 4
SPARE = 3  # bits in a product beyond those that make a unit of the result


@dataclass(frozen=True, slots=True)
class LogarithmByShifts:
    """How the logarithm of significands of so many bits is computed with `bits` fraction bits, from 0 on; off
    by at most `error` units of the last of them. `logarithms` are c_1, c_2, c_3... with GUARD bits more.
    `log_e` has `steps` + SPARE fraction bits; it is 0 where it is not needed.
    """

    significand_bits: int
    bits: int
    log_2: int
    logarithms: tuple[int, ...]
    log_e: int
    error: Fraction

    @property
    def steps(self) -> int:
        """How many steps there are."""
        return len(self.logarithms)


@cache
def logarithm_by_shifts_plan(base: int | None, significand_bits: int, bits: int) -> LogarithmByShifts:
    """The plan for a base."""
    wide, steps = bits + GUARD, (bits + 1) // 2
    logarithms = tuple(power_series.log(base, 1 + Fraction(1, 1 << k), wide) for k in range(1, steps + 1))
    raised = (steps + 1) // 2 + 1
    log_2 = power_series.log(base, Fraction(2), wide) + raised
    log_e = Fraction(1 << 64, power_series.ln_of_base(base, 64) - 1)
    short = 0
    lost = (steps + 2 + 2 * (significand_bits > wide)) * log_e + 2 * raised
    lost += Fraction(1 << wide, 2 << (2 * steps)) * (1 + Fraction(2, 1 << steps)) * log_e
    if base is not power_series.E:
        short = reals.fixed(Fraction(1 << 64, power_series.ln_of_base(base, 64)), steps + SPARE)
        lost += (1 << (GUARD - SPARE)) * log_e + Fraction(1 << wide, 2 << (2 * steps + SPARE)) + 1
    return LogarithmByShifts(significand_bits, bits, log_2, logarithms, short, lost / 2**GUARD + 1)


def logarithm_by_shifts(significand: Bits, plan: LogarithmByShifts) -> Bits:
    """log m, with one bit before the point."""
    wide = plan.bits + GUARD
    u = moved(subtract_modulo(0, significand, plan.significand_bits), wide - plan.significand_bits)
    part = constant(plan.log_2, wide + 1)
    for k in unrolled(1, plan.steps + 1):
        t = resize(u + (u >> k), wide - k + 1)
        if field(t, wide - k, 1):
            u = field(t, 0, wide - k)
            part = part - plan.logarithms[k - 1]
        else:
            u = resize(u, wide - k)
    if plan.log_e:
        rest = (u >> (GUARD - SPARE)) * plan.log_e
        u = rest >> (plan.steps + 2 * SPARE - GUARD)
    return (part - u) >> GUARD
