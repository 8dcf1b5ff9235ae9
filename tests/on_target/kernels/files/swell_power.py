"""How much of one swell period is in the heave, by Goertzel's recurrence."""

import math

SAMPLES = 32
COEFFICIENT = 2.0 * math.cos(2.0 * math.pi * 3 / SAMPLES)
SCALE = 4.0 / (SAMPLES * SAMPLES)


def kernel(heave):
    s1 = 0.0
    s2 = 0.0
    for x in heave:
        s0 = (x + COEFFICIENT * s1) - s2
        s2 = s1
        s1 = s0
    power = s1 * s1 + s2 * s2 - COEFFICIENT * s1 * s2
    return power * SCALE


def inputs():
    return ([math.sin(0.589 * n) + 0.2 * math.sin(2.1 * n) for n in range(SAMPLES)],)
