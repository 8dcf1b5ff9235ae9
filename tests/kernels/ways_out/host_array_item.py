"""Levels put into an array that numpy makes inside the kernel, one by one."""

import numpy as np


def kernel(levels, scale):
    kept = np.zeros(len(levels))
    total = 0.0
    for n in range(len(levels)):
        kept[n] = levels[n] * scale
        total = total + kept[n] * kept[n]
    return scale * total


def inputs():
    return np.array([1.25, 2.5, 3.75]), 0.5
