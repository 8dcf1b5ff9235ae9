"""Pitch of the hull: the turn rate for what is quick, the slope of gravity for what is slow."""

import math

SAMPLES = 16
INTERVAL = 0.05  # s
BLEND = 0.98
REST = 0.02


def kernel(rate, forward, down):
    pitch = 0.0
    pitches = []
    for i in range(SAMPLES):
        slope = forward[i] / down[i]
        pitch = BLEND * (pitch + INTERVAL * rate[i]) + REST * slope
        pitches.append(pitch)
    return pitches


def inputs():
    rate = [0.4 * math.cos(0.5 * n) for n in range(SAMPLES)]
    forward = [1.5 * math.sin(0.5 * n + 0.2) for n in range(SAMPLES)]
    down = [9.81 + 0.3 * math.sin(1.3 * n) for n in range(SAMPLES)]
    return rate, forward, down
