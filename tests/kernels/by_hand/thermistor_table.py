"""The thermistor, by hand: readings and the table's places are integers, and so are their differences."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32
PLACES = [512, 800, 1100, 1500, 2047]
DEGREES = [b(45.0), b(30.5), b(21.25), b(12.5), b(2.0)]


def kernel(readings: list[int]) -> Any:
    """Two conversions, a division of integers, a difference, a product and a sum a reading on the table."""
    sensible = []
    for raw in readings:
        if not PLACES[0] <= raw <= PLACES[-1]:
            continue
        n = next(n for n in range(4) if raw <= PLACES[n + 1])
        part = sf.division(real(raw - PLACES[n]), real(PLACES[n + 1] - PLACES[n]))
        way = sf.subtraction(DEGREES[n + 1], DEGREES[n])
        sensible.append(sf.addition(DEGREES[n], sf.multiplication(part, way)))
    total = b(0)
    for x in sensible:
        total = sf.addition(total, x)
    coldest = sensible[0]
    for x in sensible[1:]:
        if sf.compare_signaling_less(x, coldest):
            coldest = x
    mean = sf.division(total, real(len(sensible)))
    return sensible, mean, coldest, len(readings) - len(sensible)
