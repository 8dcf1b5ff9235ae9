"""The sea's spectrum, by hand: frequency by frequency, with the constants that its text has folded."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf

b = sf.binary32


def times(x: sf.Number, *factors: sf.Number) -> sf.Number:
    """Products from the left on."""
    for factor in factors:
        x = sf.multiplication(x, factor)
    return x


def reciprocal_power(x: sf.Number, n: int) -> sf.Number:
    """1 / x^n, the power by squaring; n is 4 or 5."""
    fourth = times(x, x)
    fourth = times(fourth, fourth)
    return sf.division(b(1), times(fourth, x) if n == 5 else fourth)


def density_at(frequency: sf.Number, ratio: sf.Number, peak: sf.Number) -> sf.Number:
    """Below the peak, which a comparison tells, the width is smaller; a power of a constant is pow."""
    width = b(0.07) if sf.compare_signaling_less_equal(frequency, peak) else b(0.09)
    off = sf.subtraction(ratio, b(1.0))
    exponent = sf.division(sf.negate(times(off, off)), times(b(2.0), times(width, width)))
    enhancement = sf.pow(b(3.3), sf.exp(exponent))
    shape = times(b(0.0081 * 9.81**2), reciprocal_power(frequency, 5))
    decay = sf.exp(times(b(-1.25), reciprocal_power(ratio, 4)))
    return times(shape, decay, enhancement)


def sum_of(values: list[sf.Number]) -> sf.Number:
    """Additions from the first on."""
    total = values[0]
    for value in values[1:]:
        total = sf.addition(total, value)
    return total


def kernel(frequencies: Any, peak: float, directions: Any) -> Any:
    """The largest density is found by the operation maximum; logarithms, a root and powers close."""
    values = [b(frequency) for frequency in frequencies]
    ratios = [sf.division(value, b(peak)) for value in values]
    density = [density_at(value, ratio, b(peak)) for value, ratio in zip(values, ratios, strict=True)]
    turns = [times(b(direction), b(math.pi / 180)) for direction in directions]
    north = [times(d, sf.cos(turn)) for d, turn in zip(density, turns, strict=True)]
    east = [times(d, sf.sin(turn)) for d, turn in zip(density, turns, strict=True)]
    mean = sf.atan2(sum_of(east), sum_of(north))
    largest = density[0]
    for d in density[1:]:
        largest = sf.maximum(largest, d)
    return (
        density,
        [sf.log10(sf.addition(d, b(1.0))) for d in density],
        times(mean, b(180 / math.pi)),
        sf.rootn(largest, 3),
        [sf.pow(ratio, b(1.7)) for ratio in ratios],
    )
