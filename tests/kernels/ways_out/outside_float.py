"""Levels above datum, by a library that computes in floats of its own."""

import tide_library


def kernel(levels):
    lifted = [level + 0.5 for level in levels]
    return tide_library.mean_level(lifted)


def inputs():
    return ([1.25, 2.5, 3.75],)
