"""A block of the hydrophone's samples under a window whose edges a Bessel function shapes."""

import numpy as np

SHAPE = 8.6


def kernel(samples, places):
    edges = np.i0(SHAPE * np.sqrt(1.0 - places * places))  # refused: i0
    return np.sum(samples * edges)


def inputs():
    return np.array([0.2, 0.7, -0.4]), np.array([-0.5, 0.0, 0.5])
