"""Two sensors, by hand: a conversion, a product and a sum a reading of either."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def reading(count: int, scale: sf.Number) -> sf.Number:
    """Scaled, with the offset all sensors have."""
    return sf.addition(sf.multiplication(real(count), scale), b(0.02))


def clamped(value: sf.Number) -> sf.Number:
    """Within one of zero: a comparison, and where that does not hold another."""
    if sf.compare_signaling_less(value, b(-1.0)):
        return b(-1.0)
    return b(1.0) if sf.compare_signaling_greater(value, b(1.0)) else value


def kernel(counts: list[int]) -> Any:
    """The accelerometer notes what it reads before one is taken off; twice the scale is a product."""
    readings, seen = [], []
    for count in counts:
        level = reading(count, b(0.5))
        heave = reading(count, b(0.0625))
        seen.append(heave)
        readings.append((level, clamped(sf.subtraction(heave, b(1.0)))))
    peak = seen[0]
    for x in seen[1:]:
        if sf.compare_signaling_greater(x, peak):
            peak = x
    if not sf.compare_signaling_greater(peak, b(0.5)):
        return readings, peak, "level"
    span = sf.multiplication(b(2), b(0.0625))
    return readings, sf.multiplication(peak, span), f"heave {peak:.3f}"
