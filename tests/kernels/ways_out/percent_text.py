"""Levels in texts of the old style."""


def kernel(levels):
    total = 0.0
    for level in levels:
        total += level
    return "%.2f m" % total  # leaves: float


def inputs():
    return ([1.25, 2.5, 3.75],)
