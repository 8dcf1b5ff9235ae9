"""Water level from a noisy pressure sensor: a Kalman filter of one state."""

import random


def kernel(readings, noise):
    level, variance, gain = readings[0], 1.0, 0.0
    for reading in readings[1:]:
        variance = variance + noise["process"]
        gain = variance / (variance + noise["sensor"])
        level = level + gain * (reading - level)
        variance = (1.0 - gain) * variance
    return {"level": level, "variance": variance, "gain": gain}


def inputs():
    random.seed(3)
    readings = [random.gauss(4.2, 0.15) for _ in range(20)]
    return readings, {"process": 0.0004, "sensor": 0.0225}
