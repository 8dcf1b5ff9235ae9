"""Levels as numpy's double."""

import numpy as np


def kernel(levels):
    total = 0.0
    for level in levels:
        total = total + np.float64(level) * 2.0  # leaves: float
    return total


def inputs():
    return ([1.25, 2.5, 3.75],)
