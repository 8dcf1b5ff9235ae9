"""Moments of a short spectrum, on whole arrays; the record is as the converter left it."""

import numpy as np

SCALE = 0.0025  # m a count


def kernel(raw, frequency):
    heave = raw * SCALE
    heave = heave - np.mean(heave)
    energy = heave * heave
    m0 = np.sum(energy)
    m1 = np.dot(energy, frequency)
    m2 = (energy * frequency**2).sum()
    weights = np.linspace(0.0, 1.0, 9)
    strong = np.where(energy > 0.5 * np.max(energy), energy, 0.0)
    return m0, m1, np.sqrt(m0 / m2), np.cumsum(energy), strong, np.dot(weights, np.abs(heave))


def inputs():
    raw = np.array([120, -80, 44, 310, -295, 18, 77, -140, 9], dtype=np.int16)
    return raw, np.linspace(0.05, 0.45, 9)
