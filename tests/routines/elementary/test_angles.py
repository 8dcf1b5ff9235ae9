"""The angle of a ratio, and the arc tangent of a small number: off by less than is stated."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import gmpy2  # type: ignore[import-untyped]
import pytest

from softfloat_py.engines import direct
from softfloat_py.options import Tables
from softfloat_py.routines.elementary.angles import AnglePlan, angle_of, angle_plan
from softfloat_py.routines.elementary.rotations import Ratio, least_operand_bits
from softfloat_py.routines.elementary.small_angles import SMALL, arc_tangent_of_small, small_angle_plan
from softfloat_py.routines.language import Bits

DISTANCE_BITS = 10


def arc_tangent(value: Fraction, of_pi: bool) -> Fraction:
    """atan to 250 bits, in radians or as a part of pi."""
    with gmpy2.context(precision=250):
        angle = gmpy2.atan(gmpy2.mpfr(gmpy2.mpq(value)))
        return Fraction(*map(int, (angle / gmpy2.const_pi() if of_pi else angle).as_integer_ratio()))


def routine(numerator: Bits, denominator: Bits, distance: Bits, plan: AnglePlan) -> Bits:
    """The angle of a ratio whose parts are three operands."""
    return angle_of(Ratio(numerator, denominator, distance), plan)


@pytest.mark.parametrize("of_pi", [False, True])
@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize(("width", "bits"), [(11, 24), (24, 41), (24, 80), (45, 41), (64, 120)])
def test_angles_are_off_by_less_than_stated(width: int, bits: int, tables: Tables, of_pi: bool) -> None:
    """Angles of ratios from 1 down to nothing are as near to MPFR's as the plan says."""
    width = max(width, least_operand_bits(tables))
    plan = angle_plan(width, bits, of_pi, tables)
    random = Random(bits)
    one = 1 << (width - 1)
    distances = [0, 0, *range(plan.rotation.index_bits + 5), bits, bits + 9, (1 << DISTANCE_BITS) - 1]
    for d in distances:
        for _ in range(6):
            a, b = random.choice((one, random.randrange(one, 2 * one))), random.randrange(one, 2 * one)
            a, b = (a, b) if a <= b or d else (b, a)
            operands = {"numerator": (a, width), "denominator": (b, width), "distance": (d, DISTANCE_BITS)}
            (found,), _ = direct.run(routine, operands, {"plan": plan})

            off = arc_tangent(Fraction(a, b << d), of_pi) - Fraction(found, 1 << bits)
            assert abs(off) <= plan.error / (1 << bits), (a, b, d)


@pytest.mark.parametrize("of_pi", [False, True])
@pytest.mark.parametrize(("width", "bits"), [(3, 19), (24, 36), (24, 76), (45, 41)])
def test_small_angles_are_off_by_less_than_stated(width: int, bits: int, of_pi: bool) -> None:
    """The arc tangent of a small number is as near to MPFR's as the plan says, however small it is."""
    plan = small_angle_plan(bits, of_pi)
    random = Random(bits)
    one, exponent = 1 << (width - 1), 500
    for d in (SMALL + 1, SMALL + 2, SMALL + 5, bits // 3, bits, 2 * bits + 40):
        for m in (one, one + 1, 2 * one - 1, *(random.randrange(one, 2 * one) for _ in range(6))):
            operands = {
                "sign": (0, 1),
                "significand": (m, width),
                "exponent": (exponent, 11),
                "distance": (d, 11),
            }
            (_, biased, found), _ = direct.run(arc_tangent_of_small, operands, {"plan": plan})

            unit = Fraction(2) ** (biased + 1 - exponent - d - bits)
            off = arc_tangent(Fraction(m, one << d), of_pi) - found * unit
            assert 1 == found >> bits
            assert abs(off) <= plan.error * unit, (m, d)
