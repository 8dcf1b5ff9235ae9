"""The rising tide, by hand: differences of seconds are integers."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def kernel(rows: list[tuple[int, float, bool]], scale: float) -> Any:
    """The steepest rate by magnitude: a magnitude for each, and comparisons of magnitudes."""
    good = [(seconds, sf.multiplication(b(level), b(scale))) for seconds, level, valid in rows if valid]
    rates = []
    for n in range(1, len(good)):
        rise = sf.subtraction(good[n][1], good[n - 1][1])
        rates.append(sf.division(rise, real(good[n][0] - good[n - 1][0])))
    steepest = 0
    magnitudes = [sf.absolute(rate) for rate in rates]
    for n in range(1, len(rates)):
        if sf.compare_signaling_greater(magnitudes[n], magnitudes[steepest]):
            steepest = n
    return rates, rates[steepest], sf.multiplication(b(3600), rates[-1])
