"""Levels in an array that a library makes for itself."""

import tide_library


def kernel(levels):
    lifted = [level + 0.5 for level in levels]
    return tide_library.weighted(lifted)


def inputs():
    return ([1.25, 2.5, 3.75],)
