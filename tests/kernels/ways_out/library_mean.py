"""The mean by the standard library, which sums in the host's floats."""

import statistics


def kernel(levels):
    doubled = [level * 2.0 for level in levels]
    return statistics.fmean(doubled)  # leaves: float


def inputs():
    return ([1.25, 2.5, 3.75],)
