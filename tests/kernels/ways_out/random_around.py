"""Noise around levels, drawn by the standard library in the host's floats."""

import random


def kernel(levels):
    noisy = []
    for level in levels:
        noisy.append(random.gauss(level, 1.0))  # leaves: host operand
    return noisy[0] - levels[0]


def inputs():
    random.seed(11)
    return ([1.25, 2.5, 3.75, 0.5],)
