"""Shocks to the hull, by hand: what the files beside the kernel compute is counted as its own."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def state(g: sf.Number) -> int:
    """One comparison above the alarm, else two."""
    if sf.compare_signaling_greater(g, b(0.1)):
        return 2
    return 1 if sf.compare_signaling_greater(g, b(0.05)) else 0


def kernel(acceleration: list[float]) -> Any:
    """A division, a difference and a magnitude a sample."""
    shocks = []
    for a in acceleration:
        g = sf.division(b(a), b(9.80665))
        shocks.append(sf.absolute(sf.subtraction(g, b(1.0))))
    worst = shocks[0]
    for shock in shocks[1:]:
        if sf.compare_signaling_greater(shock, worst):
            worst = shock
    ratio = sf.division(worst, b(0.1))
    return (
        [state(shock) for shock in shocks],
        ratio,
        sf.multiplication(worst, b(9.80665)),
        sf.multiplication(b(0.5), worst),
    )
