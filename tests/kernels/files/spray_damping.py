"""Spray on the level gauge, damped by an exponential window."""

import numpy as np


def kernel(levels, times):
    window = np.exp(-0.2 * times)
    return np.sum(levels * window)


def inputs():
    return np.array([2.1, 2.3, 2.2]), np.array([0.0, 0.5, 1.0])
