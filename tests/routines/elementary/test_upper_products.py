"""Upper parts of products: never too large, and too small by less than is stated."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from softfloat_py.engines import direct
from softfloat_py.routines.elementary.upper_products import DIGIT_BITS, most_lost, upper_product


@pytest.mark.parametrize("y_width", [1, 15, 16, 17, 33, 64, 90])
@pytest.mark.parametrize("x_width", [5, 16, 40, 90])
def test_upper_products_are_too_small_by_less_than_stated(x_width: int, y_width: int) -> None:
    """Products of the largest factors, and of some at random, cut at any place."""
    random = Random(y_width)
    for places in {0, 3, x_width // 2, x_width, x_width + DIGIT_BITS - 1}:
        width = x_width + y_width + 1
        for x, y in [((1 << x_width) - 1, (1 << y_width) - 1), (1, 1)] + [
            (random.getrandbits(x_width), random.getrandbits(y_width)) for _ in range(10)
        ]:
            operands = {"x": (x, x_width), "y": (y, y_width)}
            (found,), _ = direct.run(upper_product, operands, {"places": places, "width": width})

            assert 0 <= Fraction(x * y, 1 << places) - found < most_lost(y_width)
