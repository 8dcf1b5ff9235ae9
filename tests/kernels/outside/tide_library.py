"""A library that is not part of the kernel: it computes in floats of the host."""

import numpy as np


def mean_level(levels):
    total = 0.0
    for level in levels:
        total += float(level)  # leaves outside_float: float
    return total / len(levels)


def weighted(levels):
    kept = np.zeros(len(levels))
    for n, level in enumerate(levels):
        kept[n] = level  # leaves outside_array: float
    return kept * np.linspace(0.5, 1.0, len(levels))


def flow(levels):
    out = []
    for hour, level in enumerate(levels):
        factor = 1.0 + 0.125 * hour
        out.append(level * factor)  # leaves outside_factor: host operand
    return out
