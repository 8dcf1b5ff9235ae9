"""A swell of known period, subtracted from the record."""

import math

PERIOD = 9.5  # s


def kernel(heave, dt):
    phase = 0.0
    rest = []
    for h in heave:
        phase += 2.0 * math.pi * dt / PERIOD
        rest.append(h - 0.4 * math.sin(phase))
    return rest


def inputs():
    return [0.1, 0.4, 0.2], 0.5
