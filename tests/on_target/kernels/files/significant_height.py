"""Significant wave height: four standard deviations of the elevation."""

import math

SAMPLES = 32
COUNT = 32.0
FOUR = 4.0


def kernel(elevation):
    total = 0.0
    for h in elevation:
        total = total + h
    mean = total / COUNT
    energy = 0.0
    for h in elevation:
        d = h - mean
        energy = energy + d * d
    return FOUR * math.sqrt(energy / COUNT)


def inputs():
    return ([0.25 + math.sin(0.7 * n) + 0.5 * math.sin(0.31 * n + 1.0) for n in range(SAMPLES)],)
