"""Charge of the battery from converter readings behind a divider."""

VREF = 3.3  # V
R1, R2 = 100.0, 330.0  # kΩ
FULL_SCALE = 4095


def volts(raw, vref=VREF):
    return raw / 4095 * vref


def kernel(readings):
    total = 0
    lowest = 99.0
    for raw in readings:
        total += raw
        v = volts(raw) * (R1 + R2) / R2
        if v < lowest:
            lowest = v
    mean = total / len(readings)
    charge = (lowest - 3.0) / (4.2 - 3.0)
    return mean / FULL_SCALE, lowest, int(100 * charge), float(readings[0]) * 0.25


def inputs():
    return ([3555, 3561, 3550, 3548, 3559, 3541],)
