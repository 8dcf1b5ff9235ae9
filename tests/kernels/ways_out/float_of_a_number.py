"""The owner makes sure that levels are floats."""


def kernel(levels):
    total = 0.0
    for level in levels:
        total = total + float(level * 2.0)  # leaves: float
    return total


def inputs():
    return ([1.25, 2.5, 3.75],)
