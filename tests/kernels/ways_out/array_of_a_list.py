"""A list of levels made an array of floats."""

import numpy as np


def kernel(levels):
    lifted = [level + 0.5 for level in levels]
    values = np.asarray(lifted, dtype=float)
    again = np.array(lifted, dtype=np.float64)
    return values * 2.0, again[0] - values[1]


def inputs():
    return ([1.25, 2.5, 3.75],)
