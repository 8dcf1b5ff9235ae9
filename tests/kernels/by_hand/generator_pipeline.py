"""The pipeline as loops over lists, by hand: a conversion and a product a reading."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def kernel(counts: list[int]) -> Any:
    """Running sums of three ranges are two additions."""
    samples = [sf.multiplication(real(count), b(0.004)) for count in counts]
    level, flat = samples[0], [b(0.0)]
    for x in samples[1:]:
        level = sf.addition(level, sf.multiplication(b(0.125), sf.subtraction(x, level)))
        flat.append(sf.subtraction(x, level))
    ranges = []
    for start in range(0, len(flat), 5):
        block = flat[start : start + 5]
        low = high = block[0]
        for x in block[1:]:
            if sf.compare_signaling_greater(x, high):
                high = x
        for x in block[1:]:
            if sf.compare_signaling_less(x, low):
                low = x
        ranges.append(sf.subtraction(high, low))
    sums = [ranges[0]]
    for x in ranges[1:]:
        sums.append(sf.addition(sums[-1], x))
    return ranges, sums, sf.division(ranges[-1], b(2))
