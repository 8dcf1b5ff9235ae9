"""How much of one wave period is in the record: Goertzel's recurrence, its coefficient a constant."""

import math

import numpy as np

N = 32
BIN = 3
OMEGA = 2.0 * math.pi * BIN / N
COEFFICIENT = 2.0 * math.cos(OMEGA)


def kernel(heave):
    s1 = s2 = 0.0
    for x in heave:
        s0 = x + COEFFICIENT * s1 - s2
        s2, s1 = s1, s0
    real = s1 - s2 * math.cos(OMEGA)
    imaginary = s2 * np.sin(OMEGA)
    power = s1 * s1 + s2 * s2 - COEFFICIENT * s1 * s2
    return real, imaginary, power / (N * N / 4)


def inputs():
    n = np.arange(N)
    rng = np.random.default_rng(7)
    return (np.sin(2 * np.pi * BIN * n / N) + rng.normal(0.0, 0.1, N),)
