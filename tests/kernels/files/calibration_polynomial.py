"""Calibration of the pressure sensor: by Horner's rule, and written out in powers."""

from functools import reduce

COEFFICIENTS = (0.012, 1.0035, -0.0021, 0.00008)


def horner(x):
    y = 0.0
    for c in reversed(COEFFICIENTS):
        y = y * x + c
    return y


def kernel(readings):
    out = []
    for x in readings:
        written_out = 0.012 + 1.0035 * x - 0.0021 * x**2 + 0.00008 * x**3
        bent = x**0.5 + x**-1 - 0.5 * x**4
        out.append((horner(x), written_out, bent))
    folded = reduce(lambda y, c: y * readings[0] + c, COEFFICIENTS[::-1])
    return out, folded


def inputs():
    return ([0.75, 1.5, 2.25, 3.1],)
