"""Heave from vertical acceleration: two trapezoid integrations that slowly forget."""

import math

SAMPLES = 24
HALF_INTERVAL = 0.125  # s
KEPT = 0.985


def kernel(acceleration):
    velocity = 0.0
    heave = 0.0
    last = 0.0
    heaves = []
    for a in acceleration:
        v = KEPT * velocity + HALF_INTERVAL * (last + a)
        heave = KEPT * heave + HALF_INTERVAL * (velocity + v)
        velocity = v
        last = a
        heaves.append(heave)
    return heaves


def inputs():
    return ([0.9 * math.sin(0.45 * n + 0.3) + 0.1 * math.sin(2.2 * n) for n in range(SAMPLES)],)
