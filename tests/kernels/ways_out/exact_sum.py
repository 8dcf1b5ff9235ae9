"""A sum without rounding on its way, as only the host has it."""

import math


def kernel(levels):
    doubled = [level * 2.0 for level in levels]
    return math.fsum(doubled)  # leaves: float


def inputs():
    return ([1.25, 2.5, 3.75],)
