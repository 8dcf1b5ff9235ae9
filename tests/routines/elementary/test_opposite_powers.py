"""2^f and 2^-f together: both as near as is stated, by polynomials and by shifts and additions."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import gmpy2  # type: ignore[import-untyped]
import pytest

from softfloat_py.engines import direct
from softfloat_py.routines.elementary.exponential import PowerPlan, power_plan
from softfloat_py.routines.elementary.opposite_powers import opposite_powers, plan_of_opposite
from softfloat_py.routines.elementary.shift_and_add import PowerByShifts, power_by_shifts_plan

PLANS = [
    *(power_plan(bits, index_bits) for bits in (23, 36, 76) for index_bits in (0, 4, 5, 8)),
    *(power_by_shifts_plan(bits) for bits in (23, 36)),
]


@pytest.mark.parametrize("power", PLANS, ids=lambda plan: f"{type(plan).__name__} {plan.bits}")
def test_both_powers_are_near(power: PowerPlan | PowerByShifts) -> None:
    """For fractions with few bits and with many, 2^f is off by no more than stated, 2^-f by half as much and
    two units.
    """
    plan = plan_of_opposite(power)
    bits = power.bits
    random = Random(bits)
    whole = 1 << bits
    fractions = [0, 1, 2, 3, whole - 9, whole // 2, whole // 2 - 1, whole // 3, whole // 64, whole // 64 - 1]
    for fraction in fractions + [random.randrange(whole) >> random.randrange(bits // 2) for _ in range(60)]:
        found, _ = direct.run(opposite_powers, {"fraction": (fraction, bits)}, {"plan": plan})
        for sign, value, allowed in zip((1, -1), found, (plan.error, plan.error / 2 + 2), strict=True):
            with gmpy2.context(precision=2 * bits):
                exact = gmpy2.exp2(sign * gmpy2.mpfr(fraction) / whole) * whole

                assert abs(Fraction(value) - Fraction(*exact.as_integer_ratio())) <= allowed
