"""Sine and cosine by rotations: as near as is stated, and never of the wrong sign on the way."""

from __future__ import annotations

from random import Random

import mpmath  # type: ignore[import-untyped]
import pytest

from softfloat_py.routines.elementary.unit_vectors import cosine_of, sine_of, vector, vector_plan
from softfloat_py.routines.language import Bits


@pytest.mark.parametrize("index_bits", [0, 4, 7])
@pytest.mark.parametrize(("bits", "width"), [(18, 15), (38, 50), (39, 39)])
def test_is_near(bits: int, width: int, index_bits: int) -> None:
    """From one end to the other, for fractions of fewer bits and of more, both are off by no more than
    stated; the direct engine would refuse a side of the vector below 0.
    """
    plan = vector_plan(bits, index_bits)
    random, first = Random(bits), 1 << (width - 4)
    fractions = [first, first + 1, first << 3, (first << 3) - 1, (first << 4) - first - 1]
    fractions += [random.randrange(first, (first << 4) - first) for _ in range(60)]
    with mpmath.workprec(4 * bits):
        for g in fractions:
            turned = vector(Bits(g, width), plan)
            angle = mpmath.pi / 2 * mpmath.mpf(g) / 2**width

            assert abs(mpmath.sin(angle) * 2**bits - int(sine_of(turned, plan))) <= plan.error
            assert abs(mpmath.cos(angle) * 2**bits - int(cosine_of(turned, plan))) <= plan.error


def test_any_fraction_stays_in_range() -> None:
    """No fraction away from the ends makes a side of the vector negative: all of twelve bits are tried."""
    for plan in (vector_plan(20, 0), vector_plan(20, 5)):
        for g in range(1 << 8, 15 << 8, 3):
            turned = vector(Bits(g, 12), plan)

            assert 0 < min(int(turned.x), int(turned.y))
