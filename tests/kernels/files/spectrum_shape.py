"""A sea's spectrum by its peak and steepness, and the mean direction of its waves, with numpy."""

import numpy as np

GRAVITY = 9.81


def kernel(frequencies, peak, directions):
    ratio = frequencies / peak
    width = np.where(frequencies <= peak, 0.07, 0.09)
    enhancement = 3.3 ** np.exp(-((ratio - 1.0) ** 2) / (2.0 * width**2))
    density = 0.0081 * GRAVITY**2 * frequencies**-5.0 * np.exp(-1.25 * ratio**-4.0) * enhancement
    turns = np.radians(directions)
    mean = np.arctan2(np.sum(density * np.sin(turns)), np.sum(density * np.cos(turns)))
    return density, np.log10(density + 1.0), np.degrees(mean), np.cbrt(np.max(density)), ratio**1.7


def inputs():
    return np.linspace(0.08, 0.4, 9), 0.17, np.linspace(200.0, 290.0, 9)
