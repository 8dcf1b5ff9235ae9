"""Readings of four converters, by hand: each converted in the width of its array."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def kernel(humidity: Any, pressure: Any, ticks: Any, energy: Any) -> Any:
    """A conversion and an operation an element, and for each of the two single elements."""
    percent = [sf.multiplication(real(n, 8, signed=False), b(0.5)) for n in humidity.tolist()]
    bars = [sf.division(real(n, 16), b(4096)) for n in pressure.tolist()]
    hours = [sf.addition(b(1.5), real(n, 32)) for n in ticks.tolist()]
    joules = [sf.multiplication(b(0.001), real(n, 64)) for n in energy.tolist()]
    warm = sf.multiplication(real(int(pressure[1]), 16), b(0.1))
    later = sf.compare_signaling_less(hours[0], real(int(ticks[-1]), 32))
    return percent, bars, hours, joules, warm, later
