"""The swell subtracted, by hand: four operations for the phase, then a sine, a product and a difference."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(heave: list[float], dt: float) -> Any:
    """Twice pi is a constant; the quotient with the period is not, as it begins with dt."""
    phase, rest = b(0.0), []
    for h in heave:
        step = sf.division(sf.multiplication(b(2 * math.pi), b(dt)), b(9.5))
        phase = sf.addition(phase, step)
        rest.append(sf.subtraction(b(h), sf.multiplication(b(0.4), sf.sin(phase))))
    return rest
