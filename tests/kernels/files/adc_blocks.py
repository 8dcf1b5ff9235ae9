"""Blocks of readings of four converters, each of another width."""

import numpy as np


def kernel(humidity, pressure, ticks, energy):
    percent = humidity * 0.5
    bars = pressure / 4096
    hours = 1.5 + ticks
    joules = [0.001 * e for e in energy]
    warm = pressure[1] * 0.1
    return percent, bars, hours, joules, warm, hours[0] < ticks[-1]


def inputs():
    humidity = np.array([120, 131, 200], dtype=np.uint8)
    pressure = np.array([4100, -30, 4180], dtype=np.int16)
    ticks = np.array([86400, 172801], dtype=np.int32)
    energy = np.array([123456789, 5000000000])
    return humidity, pressure, ticks, energy
