"""Range and middle of the tide: lowest and highest of levels that are smoothed by threes."""

import math

SAMPLES = 32
THIRD = 1.0 / 3.0
HALF = 0.5


def kernel(level):
    lowest = level[0]
    highest = level[0]
    for i in range(1, SAMPLES - 1):
        smooth = (level[i - 1] + level[i] + level[i + 1]) * THIRD
        if smooth < lowest:
            lowest = smooth
        if smooth > highest:
            highest = smooth
    return highest - lowest, (highest + lowest) * HALF


def inputs():
    return ([2.0 + 1.3 * math.sin(0.25 * n) + 0.06 * math.sin(2.9 * n) for n in range(SAMPLES)],)
