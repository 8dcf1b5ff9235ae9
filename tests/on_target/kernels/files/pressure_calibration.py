"""Pressure from a sensor's readings: a cubic by Horner's rule, divided by what the temperature does."""

import math

SAMPLES = 12
COEFFICIENTS = (0.00008, -0.0021, 1.0035, 0.012)
DEGREE = 3
AT = 15.0  # °C
DRIFT = 0.0004
ONE = 1.0


def kernel(readings, temperatures):
    pressures = []
    for i in range(SAMPLES):
        x = readings[i]
        y = COEFFICIENTS[0]
        for k in range(1, DEGREE + 1):
            y = y * x + COEFFICIENTS[k]
        warm = ONE + DRIFT * (temperatures[i] - AT)
        pressures.append(y / warm)
    return pressures


def inputs():
    readings = [2.0 + 0.7 * math.sin(0.8 * n) for n in range(SAMPLES)]
    return readings, [11.0 + 0.35 * n for n in range(SAMPLES)]
