"""A level between the readings of a list."""

import numpy as np


def kernel(times, levels):
    lifted = [level + 0.5 for level in levels]
    return np.interp(1.25, times, lifted)  # leaves: float


def inputs():
    return [0.0, 1.0, 2.0], [1.25, 2.5, 3.75]
