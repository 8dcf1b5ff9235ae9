"""Speed of the current from its two components, and the mean and the highest of it."""

import math

SAMPLES = 16
COUNT = 16.0


def kernel(east, north):
    total = 0.0
    highest = 0.0
    for i in range(SAMPLES):
        speed = math.sqrt(east[i] * east[i] + north[i] * north[i])
        total = total + speed
        if speed > highest:
            highest = speed
    return total / COUNT, highest


def inputs():
    east = [0.4 + 0.3 * math.sin(0.4 * n) for n in range(SAMPLES)]
    return east, [0.7 * math.cos(0.9 * n + 0.1) for n in range(SAMPLES)]
