"""Levels kept in an array of the standard library, to save memory."""

from array import array


def kernel(levels):
    kept = array("d")
    for level in levels:
        kept.append(level * 0.5)  # leaves: float
    return len(kept), levels[0] + levels[1]


def inputs():
    return ([1.25, 2.5, 3.75],)
