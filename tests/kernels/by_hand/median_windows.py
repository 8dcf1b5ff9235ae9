"""Medians of windows, by hand: Python's sort decides how often it compares, by < alone."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(samples: list[float]) -> Any:
    """Only the windows at the ends have an even number of samples: a sum and a division by a constant."""
    values = [b(x) for x in samples]
    cleaned = []
    for i in range(len(values)):
        ordered = sorted(values[max(0, i - 2) : i + 3])
        middle = len(ordered) // 2
        if len(ordered) % 2 == 0:
            cleaned.append(sf.division(sf.addition(ordered[middle - 1], ordered[middle]), b(2)))
        else:
            cleaned.append(ordered[middle])
    spikes = []
    for i in range(len(values)):
        if sf.compare_signaling_greater(sf.absolute(sf.subtraction(values[i], cleaned[i])), b(5.0)):
            spikes.append(i)
    return cleaned, spikes
