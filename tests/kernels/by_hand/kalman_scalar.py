"""A Kalman filter of one state, by hand: eight operations a reading, one of them a division."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(readings: list[float], noise: dict[str, float]) -> Any:
    """Noise comes from inputs(), so it is data of the program, rounded once."""
    process, sensor = b(noise["process"]), b(noise["sensor"])
    level, variance, gain = b(readings[0]), b(1.0), b(0.0)
    for reading in readings[1:]:
        variance = sf.addition(variance, process)
        gain = sf.division(variance, sf.addition(variance, sensor))
        level = sf.addition(level, sf.multiplication(gain, sf.subtraction(b(reading), level)))
        variance = sf.multiplication(sf.subtraction(b(1.0), gain), variance)
    return {"level": level, "variance": variance, "gain": gain}
