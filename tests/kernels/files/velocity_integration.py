"""Velocity and heave from acceleration, step by step, and how long the motion takes to die away."""

import numpy as np


def kernel(acceleration):
    velocity = 0.0
    heave = 0.0
    t = 0.0
    previous = acceleration[0]
    for a in acceleration[1:]:
        velocity = velocity + 0.5 * (a + previous) * 0.01
        heave = heave + velocity * 0.01
        t = t + 0.01
        previous = a
    while t < 0.5:
        t += 0.02
        velocity *= 0.99
        heave += velocity * (0.5 * 0.04)
    return velocity, heave, t


def inputs():
    return (2.0 * np.cos(0.3 * np.arange(20)),)
