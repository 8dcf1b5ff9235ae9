"""log m by shifts and additions: as near as is stated, and never below 0."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import gmpy2  # type: ignore[import-untyped]
import pytest

from softfloat_py.engines import direct
from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import binary32
from softfloat_py.options import Elementary, Options
from softfloat_py.routines.elementary.logarithm_by_shifts import logarithm_by_shifts, logarithm_by_shifts_plan
from tests.engines.running import reference, run_plain, used


@pytest.mark.parametrize("base", [None, 2, 10])
@pytest.mark.parametrize(("significand_bits", "bits"), [(24, 39), (11, 9), (53, 30), (3, 5), (8, 50)])
def test_is_near(base: int | None, significand_bits: int, bits: int) -> None:
    """From 1 to the largest significand, of few bits and of many, it is off by no more than stated."""
    plan = logarithm_by_shifts_plan(base, significand_bits, bits)
    random, one = Random(bits), 1 << (significand_bits - 1)
    significands = [one, one + 1, one + one // 2, 2 * one - 1]
    significands += [random.randrange(one, 2 * one) for _ in range(60)]
    for significand in significands:
        operands = {"significand": (significand, significand_bits)}
        (found,), _ = direct.run(logarithm_by_shifts, operands, {"plan": plan})
        with gmpy2.context(precision=4 * bits):
            exact = gmpy2.log(gmpy2.mpfr(significand) / one) / (gmpy2.log(base) if base else 1)

        assert abs(Fraction(*exact.as_integer_ratio()) * 2**bits - found) <= plan.error


@pytest.mark.parametrize("name", ["log", "log2", "log10", "logp1", "log10p1", "acosh", "asinh"])
def test_functions_of_it(name: str) -> None:
    """Functions whose fast phase has it deliver the reference's result and flags."""
    random = Random(1)
    use = used(name, binary32, Options(elementary=Elementary.SHIFT_AND_ADD))
    for exponent in (1, 117, 124, 126, 127, 128, 135, 200, 254):
        x = exponent << binary32.trailing_bits | random.randrange(1 << binary32.trailing_bits)

        assert (
            reference(use, Rounding.TOWARD_POSITIVE, (x,))
            == run_plain(use, Rounding.TOWARD_POSITIVE, (x,)).outcome
        )
