"""The mean wind of a distribution of gusts with a known shape."""

import math

SCALE = 9.5  # m/s


def kernel(shapes):
    means = []
    for shape in shapes:
        means.append(SCALE * math.gamma(1.0 + 1.0 / shape))  # refused: gamma
    return means


def inputs():
    return ([1.8, 2.0, 2.2],)
