"""Units of the buoy."""

import numpy as np

GRAVITY = 9.80665  # m/s²


def to_g(acceleration):
    return acceleration / GRAVITY


def weights(n):
    w = np.zeros(n)
    w[0] = 0.5
    return w
