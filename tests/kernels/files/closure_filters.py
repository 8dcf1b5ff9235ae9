"""Filters made by functions: what they keep lives in their closures."""

import math


def make_lowpass(alpha):
    state = 0.0

    def step(x):
        nonlocal state
        state = state + alpha * (x - state)
        return state

    return step


def make_highpass(lowpass):
    return lambda x, gain=1.25: gain * (x - lowpass(x))


slow = make_lowpass(0.1)


def kernel(samples):
    quick = make_lowpass(0.5)
    swell = make_highpass(slow)
    return [(quick(x), swell(x)) for x in samples]


def inputs():
    return ([math.sin(0.8 * n) for n in range(12)],)
