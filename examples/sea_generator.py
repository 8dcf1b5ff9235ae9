"""What does a buoy's accelerometer feel in a sea whose height is known?

Writes sea.csv: twenty minutes of vertical acceleration, invented demo data. The sea has the spectrum of

    K. Hasselmann et al. (1973), "Measurements of wind-wave growth and swell decay during the Joint North
    Sea Wave Project (JONSWAP)", Deutsche Hydrographische Zeitschrift, supplement A8, no. 12:

    S(f) = alpha g² (2 pi)^-4 f^-5 exp(-5/4 (f / f_p)^-4) gamma^exp(-(f - f_p)² / (2 sigma² f_p²))

with the mean shape gamma = 3.3, sigma = 0.07 up to the peak frequency f_p and 0.09 above it (formula and
values from memory). The scale alpha g² (2 pi)^-4 follows from the height asked for, Hm0 = 4 sqrt(m0), where
m0 is the area under S, the variance of the elevation.

The elevation is a sum of cosines at the harmonics of the record's length. Their amplitudes sqrt(2 S(f) df)
are not random, so the variance of the whole record is exactly m0; only the phases are drawn. Twice
differentiated, a cosine of amplitude a has the acceleration -(2 pi f)² a.

Run by `python examples/sea_generator.py`.
"""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Values: TypeAlias = NDArray[np.floating[Any]]

RATE = 4  # samples a second
SAMPLES = 4800
HEIGHT = 2.0  # significant wave height Hm0, m
PEAK_PERIOD = 8.0  # s
LOWEST, HIGHEST = 0.04, 0.6  # band of the sea, Hz
OFFSET = 0.02  # what the accelerometer shows at rest, m/s²
SEED = 1973
TITLE = (
    f"# Invented demo data: vertical acceleration in m/s², {RATE} samples a second, made by sea_generator.py "
    f"from a JONSWAP spectrum with Hm0 = {HEIGHT} m and a peak period of {PEAK_PERIOD} s"
)


def jonswap_shape(frequency: Values) -> Values:
    """The JONSWAP spectrum at frequencies in Hz, without its scale."""
    ratio = frequency * PEAK_PERIOD
    sigma = np.where(ratio <= 1, 0.07, 0.09)
    enhancement = 3.3 ** np.exp(-((ratio - 1) ** 2) / (2 * sigma**2))
    return np.asarray(frequency**-5 * np.exp(-1.25 * ratio**-4) * enhancement)


def sea() -> tuple[Values, Values, Values]:
    """Frequencies (Hz), amplitudes (m) and phases (radians) of the sea's cosines."""
    harmonics = np.arange(1, SAMPLES // 2) * (RATE / SAMPLES)
    frequency = harmonics[(harmonics >= LOWEST) & (harmonics <= HIGHEST)]
    shape = jonswap_shape(frequency)
    amplitude = np.sqrt(2 * shape / shape.sum()) * HEIGHT / 4
    # random() draws the same numbers in every Python version, which numpy's generators do not promise.
    generator = random.Random(SEED)
    phase = np.array([2 * math.pi * generator.random() for _ in frequency])
    return frequency, amplitude, phase


def vertical_acceleration() -> Values:
    """The record in m/s², upwards positive, gravity removed, with the accelerometer's offset."""
    frequency, amplitude, phase = sea()
    time = np.arange(SAMPLES) / RATE
    angle = 2 * np.pi * frequency * time[:, np.newaxis] + phase
    return np.asarray(OFFSET - np.cos(angle) @ ((2 * np.pi * frequency) ** 2 * amplitude))


def csv_text() -> str:
    """The contents of sea.csv: a title, then one sample a line with five significant digits."""
    return "\n".join([TITLE, *(f"{sample:.5g}" for sample in vertical_acceleration())]) + "\n"


if __name__ == "__main__":
    Path(__file__).with_name("sea.csv").write_bytes(csv_text().encode())
