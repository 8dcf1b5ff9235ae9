"""Functions that are composed in multiple precision must agree with another library for it, mpmath."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import mpmath  # type: ignore[import-untyped]
import pytest

from tests.campaigns import exact
from tests.campaigns.composed import COMPOSED

MPMATH: dict[str, Callable[[Any, Any], Any]] = {
    "exp2m1": lambda x, _: mpmath.mpf(2) ** x - 1,
    "exp10m1": lambda x, _: mpmath.mpf(10) ** x - 1,
    "log2p1": lambda x, _: mpmath.log(1 + x, 2),
    "log10p1": lambda x, _: mpmath.log(1 + x, 10),
    "sin_pi": lambda x, _: mpmath.sinpi(x),
    "cos_pi": lambda x, _: mpmath.cospi(x),
    "tan_pi": lambda x, _: mpmath.sinpi(x) / mpmath.cospi(x),
    "asin_pi": lambda x, _: mpmath.asin(x) / mpmath.pi,
    "acos_pi": lambda x, _: mpmath.acos(x) / mpmath.pi,
    "atan_pi": lambda x, _: mpmath.atan(x) / mpmath.pi,
    "atan2_pi": lambda y, x: mpmath.atan2(y, x) / mpmath.pi,
    "compound": lambda x, n: (1 + x) ** int(n),
    "rootn": lambda x, n: x ** (mpmath.mpf(1) / int(n)),
}
BITS = 65
LIMITS = {"asin_pi": (-1.0, 1.0), "acos_pi": (-1.0, 0.99), "rootn": (2.0**-40, 100.0)}
LIMITS |= dict.fromkeys(("log2p1", "log10p1", "compound"), (-0.99, 100.0))


@pytest.mark.parametrize("name", COMPOSED)
def test_a_composed_function_is_cut_where_its_value_is(name: str) -> None:
    """Between what the cut has and one unit more; or it is the value, which mpmath has up to its errors."""
    random = Random(name)
    for _ in range(60):
        x = random.uniform(-1, 1) * 2.0 ** random.randint(-30, 6)
        low, high = LIMITS.get(name, (-100.0, 100.0))
        x = min(max(x, low), high)
        y = random.choice((-40, -3, 2, 7, 11, 100)) + random.random() * (name == "atan2_pi")
        found = exact.cut(name, BITS, x, float(y))
        with mpmath.workprec(500):
            value = MPMATH[name](mpmath.mpf(x), mpmath.mpf(y))
            assert (value < 0) == found.negative
            units = abs(value) / mpmath.mpf(2) ** found.exponent - found.significand
            error = found.significand / mpmath.mpf(2) ** 400
            assert 0 < units < 1 if found.has_rest else abs(units) <= error


@pytest.mark.parametrize(
    ("name", "x", "y", "significand", "exponent"),
    [
        ("sin_pi", 0.5, 0, 1, 0),
        ("sin_pi", -1.5, 0, 1, 0),
        ("cos_pi", 4.0, 0, 1, 0),
        ("tan_pi", 1.25, 0, 1, 0),
        ("exp2m1", 3.0, 0, 7, 0),
        ("exp2m1", -2.0, 0, -3, -2),
        ("exp10m1", 3.0, 0, 999, 0),
        ("log2p1", 7.0, 0, 3, 0),
        ("log2p1", -0.75, 0, -2, 0),
        ("log10p1", 999.0, 0, 3, 0),
        ("asin_pi", -1.0, 0, -1, -1),
        ("acos_pi", 0.0, 0, 1, -1),
        ("atan_pi", 1.0, 0, 1, -2),
        ("atan2_pi", -3.0, -3.0, -3, -2),
        ("compound", 0.5, 3, 27, -3),
        ("compound", 3.0, -2, 1, -4),
        ("rootn", -27.0, 3, -3, 0),
        ("rootn", 16.0, -4, 1, -1),
    ],
)
def test_an_exact_result_is_told_apart(
    name: str, x: float, y: float, significand: int, exponent: int
) -> None:
    """Worked out by hand."""
    assert exact.Cut(significand < 0, abs(significand), exponent, False) == exact.cut(name, BITS, x, float(y))


@pytest.mark.parametrize(
    ("name", "x", "y", "significand", "exponent"),
    [
        ("exp2m1", -1e308, 0, -(2**BITS - 1), -BITS),
        ("exp10m1", -70.0, 0, -(2**BITS - 1), -BITS),
        ("cos_pi", 2.0**-1074, 0, 2**BITS - 1, -BITS),
        ("sin_pi", -0.5 + 2.0**-54, 0, -(2**BITS - 1), -BITS),
        ("atan_pi", 1e308, 0, 2**BITS - 1, -BITS - 1),
        ("compound", 2.0**-1074, 5, 2 ** (BITS - 1), 1 - BITS),
    ],
)
def test_what_lies_beside_a_number_by_almost_nothing_is_on_the_right_side(
    name: str, x: float, y: float, significand: int, exponent: int
) -> None:
    """However many bits that takes."""
    assert exact.Cut(significand < 0, abs(significand), exponent, True) == exact.cut(name, BITS, x, float(y))
