"""Periods of the sea from moments of its spectrum: energy period, mean period, crossing period."""

import math

BINS = 16
LOWEST = 0.05  # Hz
STEP = 0.025  # Hz


def kernel(spectrum):
    f = LOWEST
    before = 0.0
    m0 = 0.0
    m1 = 0.0
    m2 = 0.0
    for s in spectrum:
        before = before + s / f
        m0 = m0 + s
        weighted = s * f
        m1 = m1 + weighted
        m2 = m2 + weighted * f
        f = f + STEP
    return before / m0, m0 / m1, math.sqrt(m0 / m2)


def inputs():
    return ([2.5 * math.exp(-((n - 5) ** 2) / 9.0) + 0.05 for n in range(BINS)],)
