"""Integration step by step, by hand: the first step from zero is an addition as all others."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(acceleration: Any) -> Any:
    """Three products and four sums a sample; then a comparison, two products and two sums a round."""
    a = [b(x) for x in acceleration.tolist()]
    velocity, heave, t = b(0.0), b(0.0), b(0.0)
    for n in range(1, len(a)):
        mean = sf.multiplication(b(0.5), sf.addition(a[n], a[n - 1]))
        velocity = sf.addition(velocity, sf.multiplication(mean, b(0.01)))
        heave = sf.addition(heave, sf.multiplication(velocity, b(0.01)))
        t = sf.addition(t, b(0.01))
    while sf.compare_signaling_less(t, b(0.5)):
        t = sf.addition(t, b(0.02))
        velocity = sf.multiplication(velocity, b(0.99))
        heave = sf.addition(heave, sf.multiplication(velocity, b(0.02)))
    return velocity, heave, t
