"""Drift on a flat map, by hand: metres a degree and the cosine of the latitude are constants."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf

b = sf.binary32
METRES_A_DEGREE = b(math.pi / 180 * 6371000.0)
SHRINK = b(math.cos(math.radians(54.2)))


def distance(start: dict[str, float], end: dict[str, float]) -> sf.Number:
    """Two differences, five products, a sum and a root."""
    north = sf.multiplication(sf.subtraction(b(end["lat"]), b(start["lat"])), METRES_A_DEGREE)
    east = sf.multiplication(sf.subtraction(b(end["lon"]), b(start["lon"])), METRES_A_DEGREE)
    east = sf.multiplication(east, SHRINK)
    return sf.square_root(sf.addition(sf.multiplication(north, north), sf.multiplication(east, east)))


def kernel(fixes: list[dict[str, float]]) -> Any:
    """Four legs and the way straight back."""
    legs = [distance(fixes[n], fixes[n + 1]) for n in range(len(fixes) - 1)]
    direct = distance(fixes[0], fixes[-1])
    total = b(0)
    for leg in legs:
        total = sf.addition(total, leg)
    far = sf.compare_signaling_greater(sf.square_root(direct), b(10))
    return legs, sf.division(direct, total), far
