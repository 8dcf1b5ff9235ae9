"""Wave periods, by hand: lengths and places of samples are integers, and converted where they are used."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def kernel(heave: list[float]) -> Any:
    """A sum starts from the constant zero, so it has as many additions as elements."""
    samples = [b(x) for x in heave]
    total = b(0)
    for x in samples:
        total = sf.addition(total, x)
    mean = sf.division(total, real(len(samples)))
    level = [sf.subtraction(x, mean) for x in samples]

    times = []
    for i in range(len(level) - 1):
        before, after = level[i], level[i + 1]
        if sf.compare_signaling_less(before, b(0)) and sf.compare_signaling_greater_equal(after, b(0)):
            fraction = sf.division(before, sf.subtraction(before, after))
            times.append(sf.division(sf.addition(real(i), fraction), b(2.0)))

    periods = [sf.subtraction(times[k + 1], times[k]) for k in range(len(times) - 1)]
    together = b(0)
    for period in periods:
        together = together + period
    average = together / real(len(periods))
    longest = periods[0]
    for period in periods[1:]:
        if sf.compare_signaling_greater(period, longest):
            longest = period
    return average, longest, len(periods)
