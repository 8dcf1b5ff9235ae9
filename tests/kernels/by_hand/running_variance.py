"""Mean and spread while samples come in, by hand: the count is an integer, converted for each division."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def kernel(heave: list[float]) -> Any:
    """The variance is asked for twice after the samples: two conversions and two divisions."""
    mean, spread = b(0.0), b(0.0)
    for n, sample in enumerate(heave, 1):
        x = b(sample)
        delta = sf.subtraction(x, mean)
        mean = sf.addition(mean, sf.division(delta, real(n)))
        spread = sf.addition(spread, sf.multiplication(delta, sf.subtraction(x, mean)))
    variance = sf.division(spread, real(len(heave) - 1))
    again = sf.division(spread, real(len(heave) - 1))
    return mean, variance, sf.square_root(again), b(0.0)
