"""The battery, by hand: every reading is an integer of 32 bits on its way to volts."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real, whole

b = sf.binary32


def kernel(readings: list[int]) -> Any:
    """The divider's resistances are constants, and so is the span of the charge."""
    lowest = b(99.0)
    for raw in readings:
        at_converter = sf.multiplication(sf.division(real(raw), b(4095)), b(3.3))
        v = sf.division(sf.multiplication(at_converter, b(430.0)), b(330.0))
        if sf.compare_signaling_less(v, lowest):
            lowest = v
    mean = sf.division(real(sum(readings)), real(len(readings)))
    charge = sf.division(sf.subtraction(lowest, b(3.0)), b(4.2 - 3.0))
    percent = whole(sf.multiplication(b(100), charge))
    return sf.division(mean, b(4095)), lowest, percent, sf.multiplication(real(readings[0]), b(0.25))
