"""Kernels of shifts and additions, for CPUs without a multiplier; they serve the fast phase.

2^f. A fraction f is taken apart into logarithms of 1 + 2^-k, k = 1, 2, 3...: where what is left of it is not
less than c_k = log2(1 + 2^-k), that is taken off, and the power is multiplied by 1 + 2^-k, which is a shift
and an addition. What is left before step k is less than c_(k-1), and c_(k-1) <= 2 c_k for (1 + 2^-k)^2 is
more than 1 + 2^-(k-1): so each is taken off once at most, and what is left fits as many bits as c_k. Common
practice, no source.

With F bits and GUARD more, n = F + GUARD steps lose, in units of the last of n bits of the power, below 2: a
unit a step for what the shift cuts off, and half a unit of c_k, which as part of an exponent counts 2 ln 2
times as much; both are multiplied by what follows, less than 2 in all. What is left at last is less than c_n,
below 1.5 units, which count 2 ln 2 times. What GUARD bits are cut off loses less than a unit of the F bits.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.routines.elementary import power_series, reals
from softfloat_py.routines.language import Bits, constant, resize, unrolled

GUARD = 4


@dataclass(frozen=True, slots=True)
class PowerByShifts:
    """How 2^f is computed for a fraction f of `bits` bits, with one bit before the point and `bits` after it;
    off by at most `error` units of the last of them, if f is exact. `logarithms` are c_0, c_1, c_2...
    """

    bits: int
    logarithms: tuple[int, ...]
    error: Fraction


@cache
def power_by_shifts_plan(bits: int) -> PowerByShifts:
    """The plan of 2^f."""
    wide = bits + GUARD
    logarithms = tuple(log2_of_factor(k, wide) for k in range(wide + 1))
    a_step = 2 * (1 + Fraction(1, 2) * Fraction(7, 5))
    return PowerByShifts(bits, logarithms, (wide * a_step + 3) / 2**GUARD + 1)


@cache
def log2_of_factor(k: int, bits: int) -> int:
    """log2(1 + 2^-k)."""
    wide = bits + reals.GUARD
    natural = reals.ln(1 + Fraction(1, 1 << k), wide)
    return reals.fixed(Fraction(natural, power_series.ln_of_base(2, wide)), bits)


def power_by_shifts(fraction: Bits, plan: PowerByShifts) -> Bits:
    """2^f for a fraction, with one bit before the point."""
    wide = plan.bits + GUARD
    power = constant(1 << wide, wide + 1)
    left = fraction << GUARD
    for k in unrolled(1, wide + 1):
        factor = plan.logarithms[k]
        if left >= factor:
            left = resize(left - factor, factor.bit_length())
            power = resize(power + (power >> k), wide + 1)
        else:
            left = resize(left, factor.bit_length())
    return power >> GUARD
