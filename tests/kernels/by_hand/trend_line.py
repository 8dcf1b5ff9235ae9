"""A straight line by least squares, by hand: sums of hours are integers until they meet a level."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def kernel(levels: list[float]) -> Any:
    """Each meeting is a conversion, of the same integer too."""
    y = [b(x) for x in levels]
    n = len(y)
    sx, sxx = sum(range(n)), sum(x * x for x in range(n))
    sy = sxy = b(0.0)
    for x in range(n):
        sy = sf.addition(sy, y[x])
        sxy = sf.addition(sxy, sf.multiplication(real(x), y[x]))
    above = sf.subtraction(sf.multiplication(real(n), sxy), sf.multiplication(real(sx), sy))
    slope = sf.division(above, real(n * sxx - sx * sx))
    offset = sf.division(sf.subtraction(sy, sf.multiplication(slope, real(sx))), real(n))
    misses = []
    for x in range(n):
        on_line = sf.addition(offset, sf.multiplication(slope, real(x)))
        misses.append(sf.absolute(sf.subtraction(y[x], on_line)))
    largest = misses[0]
    for miss in misses[1:]:
        if sf.compare_signaling_greater(miss, largest):
            largest = miss
    return slope, offset, largest
