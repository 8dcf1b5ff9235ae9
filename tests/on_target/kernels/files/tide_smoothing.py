"""Smoothed tide with its trend: each sample moves level and slope by a share of the surprise."""

import math

SAMPLES = 20
LEVEL_SHARE = 0.2
TREND_SHARE = 0.1


def kernel(level):
    smooth = level[0]
    trend = 0.0
    levels = []
    for i in range(1, SAMPLES):
        expected = smooth + trend
        surprise = level[i] - expected
        smooth = expected + LEVEL_SHARE * surprise
        trend = trend + TREND_SHARE * surprise
        levels.append(smooth)
    return levels


def inputs():
    return ([1.6 + 1.1 * math.sin(0.2 * n) + 0.05 * math.cos(2.3 * n) for n in range(SAMPLES)],)
