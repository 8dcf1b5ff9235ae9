"""A filter of five taps, by hand: five products and, from the constant zero on, five sums a sample."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def products_summed(taps: list[sf.Number], window: list[sf.Number]) -> sf.Number:
    """As many products as there are pairs, and as many additions."""
    total = b(0)
    for n in range(min(len(taps), len(window))):
        total = sf.addition(total, sf.multiplication(taps[n], window[n]))
    return total


def kernel(heave: list[float]) -> Any:
    """The zeros in front of the record are multiplied as all else."""
    taps = [b(0.0625), b(0.25), b(0.375), b(0.25), b(0.0625)]
    samples = [b(x) for x in heave]
    padded = [b(0.0)] * 4 + samples
    smooth = [products_summed(taps, padded[i : i + 5]) for i in range(len(samples))]
    return smooth, products_summed([b(0.7), b(0.3)], samples[:2])
