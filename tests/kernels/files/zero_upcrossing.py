"""Mean and longest wave period between the upward crossings of the mean level."""

import math

SAMPLE_RATE = 2.0  # Hz


def upcrossings(level):
    times = []
    for i, (before, after) in enumerate(zip(level, level[1:])):
        if before < 0 and after >= 0:
            fraction = before / (before - after)
            times.append((i + fraction) / SAMPLE_RATE)
    return times


def kernel(heave):
    mean = sum(heave) / len(heave)
    level = [h - mean for h in heave]
    times = upcrossings(level)
    periods = [later - earlier for earlier, later in zip(times[:-1], times[1:])]
    return sum(periods) / len(periods), max(periods), len(periods)


def inputs():
    heave = [0.3 + math.sin(1.1 * n) + 0.4 * math.sin(0.37 * n + 1.0) for n in range(48)]
    return (heave,)
