"""Sound levels of the hydrophone in decibels, block by block, and their mean as power."""

import math

REFERENCE = 1e-6  # Pa
BLOCK = 8


def level(block):
    square = sum(x * x for x in block) / len(block)
    if square == 0.0:
        return -120.0
    return 20.0 * math.log10(math.sqrt(square) / REFERENCE)


def kernel(samples):
    levels = [level(samples[start : start + BLOCK]) for start in range(0, len(samples), BLOCK)]
    power = sum(10.0 ** (each / 10.0) for each in levels) / len(levels)
    return levels, 10.0 * math.log10(power), math.log(max(levels) - min(levels), 2)


def inputs():
    swell = [0.02 * math.exp(-0.05 * n) * math.sin(0.7 * n) for n in range(16)]
    return (swell + [0.0] * BLOCK + [0.4, -0.3, 0.1, 0.0, -0.2, 0.25, 0.1, -0.15],)
