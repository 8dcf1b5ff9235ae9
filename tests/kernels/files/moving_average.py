"""Moving average of the tide gauge over a window of four, and the largest ripple around it."""

from collections import deque


def moving_average(samples, length=4):
    window = deque(maxlen=length)
    for sample in samples:
        window.append(sample)
        yield sum(window) / len(window)


def kernel(samples):
    smooth = list(moving_average(samples))
    ripple = [abs(x - y) for x, y in zip(samples, smooth)]
    return smooth, max(ripple, default=0.0), min(ripple)


def inputs():
    return ([2.31, 2.36, 2.33, 2.42, 2.47, 2.44, 2.55, 2.49, 2.6, 2.58],)
