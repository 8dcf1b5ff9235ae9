"""Mean and lowest voltage of the battery, from a converter's readings behind a divider."""

import numpy as np

SAMPLES = 24
VOLTS_A_STEP = 3.3 / 4095 * 430.0 / 330.0
OFFSET = 0.012  # V
COUNT = 24.0
HIGHEST = 99.0


def kernel(readings):
    total = 0.0
    lowest = HIGHEST
    for raw in readings:
        volts = VOLTS_A_STEP * raw - OFFSET
        total = total + volts
        if volts < lowest:
            lowest = volts
    return total / COUNT, lowest


def inputs():
    return (np.array([3555 - 7 * n + 40 * (n % 5) for n in range(SAMPLES)], dtype=np.int32),)
