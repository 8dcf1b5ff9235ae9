"""Levels turned into flow by a library whose factor depends on the hour."""

import tide_library


def kernel(levels):
    lifted = [level + 0.5 for level in levels]
    return tide_library.flow(lifted)


def inputs():
    return ([1.25, 2.5, 3.75],)
