"""The level without its trend: a straight line through it by least squares is taken away."""

import math

SAMPLES = 20
COUNT = 20.0
ONE = 1.0
SUM_OF_TIMES = 190.0
DETERMINANT = 20.0 * 2470.0 - 190.0 * 190.0


def kernel(level):
    sy = 0.0
    sxy = 0.0
    x = 0.0
    for y in level:
        sy = sy + y
        sxy = sxy + x * y
        x = x + ONE
    slope = (COUNT * sxy - SUM_OF_TIMES * sy) / DETERMINANT
    line = (sy - slope * SUM_OF_TIMES) / COUNT
    left = []
    for y in level:
        left.append(y - line)
        line = line + slope
    return left


def inputs():
    return ([1.2 + 0.03 * n + 0.4 * math.sin(0.9 * n) for n in range(SAMPLES)],)
