"""A moving average, by hand: a sum from zero over what the window holds, divided by its length."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def kernel(samples: list[float]) -> Any:
    """The length of the window is an integer of the program: a conversion each time."""
    values = [b(x) for x in samples]
    smooth = []
    for end in range(1, len(values) + 1):
        window = values[max(0, end - 4) : end]
        total = b(0)
        for x in window:
            total = sf.addition(total, x)
        smooth.append(sf.division(total, real(len(window))))
    ripple = [sf.absolute(sf.subtraction(x, y)) for x, y in zip(values, smooth, strict=True)]
    largest = smallest = ripple[0]
    for x in ripple[1:]:
        if sf.compare_signaling_greater(x, largest):
            largest = x
    for x in ripple[1:]:
        if sf.compare_signaling_less(x, smallest):
            smallest = x
    return smooth, largest, smallest
