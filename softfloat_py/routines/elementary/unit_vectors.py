"""Sine and cosine of a fraction of a right angle, away from its ends, by rotations: shifts and additions.

A vector (x, y) turns by an angle whose tangent is 2^-k where x becomes x - 2^-k y and y becomes y + 2^-k x,
and grows by sqrt(1 + 4^-k); turning back takes the other signs. All of them are done, this way or that way,
so how much it grows is known, and the vector is as much too short at first. Common practice, no source.

With j the first t bits of g, it begins in the middle of segment j: at half a right angle for t = 0, at an
entry of a table else. z is what is left to turn by, in right angles, and its sign says which way. At first
|z| is at most 2^-(t + 1), which is not more than atan 2^-t; and since atan 2h <= 2 atan h, turning by atan
2^-k, k = t + 1, t + 2..., leaves |z| at most atan 2^-k: less than 2^-k right angles, by more than a third of
it, so z needs a bit less after each. After K rotations, half as many as there are bits, z is turned by at
once:

    sin(a + z) = y + x z,    cos(a + z) = x - y z,    z in radians, below 2^-K,

which is products of half the bits.

Neither x nor y becomes negative, if g is not in the first or last segment, for the vector turns beyond g by
less than lies between that and the end; for t = 0, if g is from 2^-4 to 1 - 2^-4: the least angle above 0
that two rotations reach is 4.4 degrees, less than g is, so the third turns up; later ones turn by less than
g.

What is lost, in units of the last of F + GUARD bits, in which x and y are computed:

- at first, half a unit of x and of y; in each rotation less than one, for what is cut off: vectors of a
  length up to 3/4 and 3/2, which grow by 6/5 at most;
- of g what is cut off, less than a unit, and of each angle half of one: 11/7 times as much, pi/2;
- of sine and cosine of the last z, half of its square, below 2^-2K;
- of the last z what is cut off, less than a unit of F + SPARE bits, and times that z, below 2^-K, half a unit
  of the K + SPARE bits that pi/2 has; likewise what is cut off x or y, a unit of that many bits; and a unit
  for each of two products.

To that comes a unit of F bits for the guard bits that are cut off; and what g is off by, which is left to
those who ask.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import isqrt
from typing import NamedTuple

from softfloat_py.routines.elementary import power_series, reals
from softfloat_py.routines.elementary.fixed_point import moved
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    look_up,
    phase,
    resize,
    subtract_modulo,
    unrolled,
    with_point,
)
from softfloat_py.routines.tables import Table

GUARD = 4
SPARE = 3  # bits in the last products beyond those that make a unit of the result


@dataclass(frozen=True, slots=True)
class VectorPlan:
    """How sine and cosine are computed with `bits` fraction bits, off by at most `error` units of the last of
    them. `sines` are those of the middles of 2^index_bits segments, short by what the vector grows by;
    `angles` are those of the rotations, in right angles.
    """

    bits: int
    index_bits: int
    sines: Table
    angles: tuple[int, ...]
    half_pi: int
    error: Fraction

    @property
    def steps(self) -> int:
        """K, the number of the last rotation."""
        return self.index_bits + len(self.angles)


class Vector(NamedTuple):
    """x and y after the rotations, with F + GUARD bits, and what is left to turn by, in radians with F +
    SPARE fraction bits: back where `back` is set.
    """

    x: Bits
    y: Bits
    back: Bits
    z: Bits


@cache
def vector_plan(bits: int, index_bits: int) -> VectorPlan:
    """The plan for so many bits, with 2^index_bits segments."""
    wide, last = bits + GUARD, (bits + 1) // 2
    t = min(index_bits, last - 1)
    angles = [_angle(k, wide) for k in range(t + 1, last + 1)]
    growth = Fraction(1)
    for k in range(t + 1, last + 1):
        growth *= 1 + Fraction(1, 1 << (2 * k))
    exact = wide + reals.GUARD
    shortened = Fraction(1 << exact, isqrt(int(growth * (1 << (2 * exact)))))
    sines = []
    for j in range(1 << t):
        angle = Fraction(power_series.half_pi(exact), 1 << exact) * Fraction(2 * j + 1, 2 << t)
        sines.append(reals.fixed(Fraction(reals.sine(angle, exact), 1 << exact) * shortened, wide))
    of_vector = Fraction(6, 5) * (Fraction(3, 4) + Fraction(3, 2) * len(angles))
    of_angle = Fraction(11, 7) * (1 + Fraction(len(angles), 2))
    of_rest = Fraction(1 << wide, 2 << (2 * last)) * (1 + Fraction(1, 1 << (last - 1)))
    of_product = Fraction(11, 7) * (1 << (GUARD - SPARE)) + 3 * Fraction(1 << wide, 2 << (2 * last + SPARE))
    error = (of_vector + of_angle + of_rest + of_product + 2 * (1 << (GUARD - SPARE))) / 2**GUARD + 1
    return VectorPlan(
        bits, t, Table(tuple(sines), wide, name=f"sines_of_middles_{wide}"), tuple(angles),
        power_series.half_pi(last + SPARE), error,
    )  # fmt: skip


def _angle(k: int, bits: int) -> int:
    """atan 2^-k in right angles."""
    wide = bits + reals.GUARD
    return reals.fixed(
        Fraction(reals.arc_tangent(Fraction(1, 1 << k), wide), power_series.half_pi(wide)), bits
    )


def vector(g: Bits, plan: VectorPlan) -> Vector:
    """The vector next to a fraction of a right angle."""
    phase("turn")
    wide, t = plan.bits + GUARD, plan.index_bits
    g = moved(g, wide - g.width)
    if t:
        index = field(g, wide - t, t)
        x, y = look_up(plan.sines, index ^ ((1 << t) - 1)), look_up(plan.sines, index)
    else:
        x, y = constant(plan.sines.entries[0], wide), constant(plan.sines.entries[0], wide)
    z = field(g, 0, wide - t) ^ (1 << (wide - t - 1))
    for k in unrolled(t + 1, plan.steps + 1):
        angle = plan.angles[k - t - 1]
        across = x >> k
        if field(z, z.width - 1, 1):
            x = resize(x + (y >> k), wide)
            y = y - across
            z = add_modulo(z, angle, wide - k + 1)
        else:
            x = x - (y >> k)
            y = resize(y + across, wide)
            z = subtract_modulo(z, angle, wide - k + 1)
    back = field(z, z.width - 1, 1)
    if back:
        left = subtract_modulo(0, z, z.width - 1)
    else:
        left = resize(z, z.width - 1)
    return Vector(x, y, back, ((left >> (GUARD - SPARE)) * plan.half_pi) >> (plan.steps + SPARE))


def sine_of(v: Vector, plan: VectorPlan) -> Bits:
    """y turned, in F bits."""
    change = last_change(v.x, v.z, plan)
    if v.back:
        y = v.y - change
    else:
        y = resize(v.y + change, plan.bits + GUARD)
    return with_point(y >> GUARD, plan.bits)


def cosine_of(v: Vector, plan: VectorPlan) -> Bits:
    """x turned, in F bits."""
    change = last_change(v.y, v.z, plan)
    if v.back:
        x = resize(v.x + change, plan.bits + GUARD)
    else:
        x = v.x - change
    return with_point(x >> GUARD, plan.bits)


def last_change(side: Bits, z: Bits, plan: VectorPlan) -> Bits:
    """One side of a vector times what is left to turn by."""
    places = plan.steps + SPARE
    return ((side >> (plan.bits + GUARD - places)) * z) >> (places + SPARE - GUARD)
