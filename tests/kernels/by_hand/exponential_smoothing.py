"""Smoothing with a trend, by hand: one less the share is a subtraction, for the share is a variable."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def smooth(samples: list[sf.Number], alpha: sf.Number, beta: sf.Number) -> Any:
    """Four products, three sums and three differences a sample."""
    level, trend = samples[0], b(0.0)
    levels = []
    for x in samples[1:]:
        before = level
        kept = sf.multiplication(sf.subtraction(b(1), alpha), sf.addition(level, trend))
        level = sf.addition(sf.multiplication(alpha, x), kept)
        moved = sf.multiplication(beta, sf.subtraction(level, before))
        trend = sf.addition(moved, sf.multiplication(sf.subtraction(b(1.0), beta), trend))
        levels.append(level)
    return levels, trend


def kernel(samples: list[float]) -> Any:
    """Six hours on from the last level: a product with a constant, and a sum."""
    values = [b(x) for x in samples]
    levels, trend = smooth(values, b(0.2), b(0.1))
    quick, _ = smooth(values[:6], b(0.5), b(0.25))
    return levels, quick, sf.addition(levels[-1], sf.multiplication(b(6), trend))
