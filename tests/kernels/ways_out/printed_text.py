"""Levels in texts and on the screen."""


def kernel(levels):
    total = 0.0
    for level in levels:
        total += level
        print(f"{level:.2f}", "{:8.3f}".format(level), str(level), level)
    return f"{total:.1f} m"


def inputs():
    return ([1.25, 2.5, 3.75],)
