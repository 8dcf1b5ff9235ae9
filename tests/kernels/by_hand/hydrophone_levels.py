"""Levels in decibels, by hand: a logarithm a block, and a power of ten for each level that is averaged."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32
BLOCK = 8


def level(block: list[sf.Number]) -> sf.Number:
    """Squares, their sum from the first on, the mean; a block of zeros is told by a comparison."""
    total = b(0)
    for x in block:
        total = sf.addition(total, sf.multiplication(x, x))
    square = sf.division(total, real(len(block)))
    if sf.compare_quiet_equal(square, b(0.0)):
        return b(-120.0)
    ratio = sf.division(sf.square_root(square), b(1e-6))
    return sf.multiplication(b(20.0), sf.log10(ratio))


def kernel(samples: list[float]) -> Any:
    """The logarithm of the base 2 is a constant, the other one and a division are not."""
    values = [b(sample) for sample in samples]
    levels = [level(values[start : start + BLOCK]) for start in range(0, len(values), BLOCK)]
    total = b(0)
    for each in levels:
        total = sf.addition(total, sf.pow(b(10.0), sf.division(each, b(10.0))))
    mean = sf.multiplication(b(10.0), sf.log10(sf.division(total, real(len(levels)))))
    highest = lowest = levels[0]
    for each in levels[1:]:
        highest = each if sf.compare_signaling_greater(each, highest) else highest
    for each in levels[1:]:
        lowest = each if sf.compare_signaling_less(each, lowest) else lowest
    spread = sf.log(sf.subtraction(highest, lowest))
    return levels, mean, sf.division(spread, b(math.log(2)))
