"""Moments of a spectrum, by hand: numpy's functions as loops in index order, sums from the first element."""

from __future__ import annotations

from typing import Any

import numpy as np

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32
Numbers = list[sf.Number]


def running_sum(values: Numbers) -> Numbers:
    """All sums on the way: one addition less than there are values."""
    sums = values[:1]
    for x in values[1:]:
        sums.append(sf.addition(sums[-1], x))
    return sums


def products(x: Numbers, y: Numbers) -> Numbers:
    """A product for each pair."""
    return [sf.multiplication(left, right) for left, right in zip(x, y, strict=True)]


def kernel(raw: Any, frequency: Any) -> Any:
    """Readings of 16 bits are converted, one by one; the weights are a constant table."""
    f = [b(x) for x in frequency.tolist()]
    heave = [sf.multiplication(real(n, 16), b(0.0025)) for n in raw.tolist()]
    mean = sf.division(running_sum(heave)[-1], b(len(heave)))
    heave = [sf.subtraction(x, mean) for x in heave]
    energy = products(heave, heave)
    m0 = running_sum(energy)[-1]
    m1 = running_sum(products(energy, f))[-1]
    m2 = running_sum(products(energy, products(f, f)))[-1]
    largest = energy[0]
    for x in energy[1:]:
        largest = sf.maximum(largest, x)
    limit = sf.multiplication(b(0.5), largest)
    strong = [x if sf.compare_signaling_greater(x, limit) else b(0.0) for x in energy]
    period = sf.square_root(sf.division(m0, m2))
    sums = running_sum(energy)
    weights = [b(w) for w in np.linspace(0.0, 1.0, 9).tolist()]
    weighted = running_sum(products(weights, [sf.absolute(x) for x in heave]))[-1]
    return m0, m1, period, sums, strong, weighted
