"""Heave and its speed from a level gauge: a filter of two states in numpy's matrices."""

import numpy as np

DT = 0.25
MOTION = np.array([[1.0, DT], [0.0, 1.0]])
SENSOR = 0.2


def kernel(levels):
    seen = np.array([1.0, 0.0])
    process = np.full((2, 2), 0.001)
    covariance = np.eye(2)
    state = np.zeros(2)
    estimates = np.zeros(len(levels))
    for i, level in enumerate(levels):
        state = MOTION @ state
        covariance = MOTION @ covariance @ MOTION.T + process
        gain = covariance[:, 0] / (covariance[0, 0] + SENSOR)
        state = state + gain * (level - np.dot(seen, state))
        covariance = (np.eye(2) - np.outer(gain, seen)) @ covariance
        estimates[i] = state[0]
    return estimates, covariance


def inputs():
    return (np.array([0.1, 0.24, 0.41, 0.5, 0.66, 0.71]),)
