"""Temperature of the water from a thermistor's resistance: a quotient of two quadratic polynomials."""

import math

SAMPLES = 10
UPPER = (0.9, -18.0, 45.0)
LOWER = (0.03, 0.3, 0.75)
AT_25_DEGREES = 10.0  # kΩ


def kernel(resistance):
    temperatures = []
    for r in resistance:
        u = r / AT_25_DEGREES
        above = (UPPER[0] * u + UPPER[1]) * u + UPPER[2]
        below = (LOWER[0] * u + LOWER[1]) * u + LOWER[2]
        temperatures.append(above / below)
    return temperatures


def inputs():
    return ([14.0 + 5.5 * math.sin(0.55 * n) for n in range(SAMPLES)],)
