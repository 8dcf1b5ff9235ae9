"""Drag of the current on the buoy, which grows with the square of what passes the hull, and its work."""

import math

SAMPLES = 16
DRAG = 0.82  # kN s²/m²
INTERVAL = 0.5  # s


def kernel(current, surge):
    work = 0.0
    forces = []
    for i in range(SAMPLES):
        passing = current[i] - surge[i]
        force = DRAG * abs(passing) * passing
        work = work + force * surge[i] * INTERVAL
        forces.append(-force)
    return forces, work


def inputs():
    current = [0.6 + 0.5 * math.sin(0.35 * n) for n in range(SAMPLES)]
    return current, [0.9 * math.cos(0.8 * n) for n in range(SAMPLES)]
