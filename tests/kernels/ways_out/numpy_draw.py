"""Noise around levels, drawn by numpy."""

import numpy as np


def kernel(levels):
    rng = np.random.default_rng(5)
    total = 0.0
    for level in levels:
        total = total + rng.normal(level + 0.5, 1.0)  # leaves: float
    return total


def inputs():
    return ([1.25, 2.5, 3.75],)
