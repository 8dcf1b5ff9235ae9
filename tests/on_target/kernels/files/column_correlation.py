"""How well two columns of the log follow each other, at some lags: correlation coefficients."""

import math

SAMPLES = 20
LAGS = 4
COMPARED = SAMPLES - LAGS


def kernel(wind, waves):
    coefficients = []
    for lag in range(LAGS):
        xy = 0.0
        xx = 0.0
        yy = 0.0
        for i in range(COMPARED):
            x = wind[i]
            y = waves[i + lag]
            xy = xy + x * y
            xx = xx + x * x
            yy = yy + y * y
        coefficients.append(xy / math.sqrt(xx * yy))
    return coefficients


def inputs():
    wind = [math.sin(0.6 * n) + 0.1 * math.cos(3.0 * n) for n in range(SAMPLES)]
    return wind, [0.8 * math.sin(0.6 * n - 1.1) for n in range(SAMPLES)]
