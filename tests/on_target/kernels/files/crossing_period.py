"""Mean and longest wave period, between crossings of the mean level upwards."""

import math

SAMPLES = 40
INTERVAL = 0.5  # s
ONE = 1.0


def kernel(heave):
    crossings = 0.0
    mean = 0.0
    longest = 0.0
    time = 0.0
    earlier = 0.0
    for i in range(1, SAMPLES):
        before = heave[i - 1]
        after = heave[i]
        if before < 0.0 and after >= 0.0:
            moment = time + before / (before - after)
            if crossings > 0.0:
                period = moment - earlier
                mean = mean + period
                if period > longest:
                    longest = period
            crossings = crossings + ONE
            earlier = moment
        time = time + ONE
    mean = mean / (crossings - ONE)
    return mean * INTERVAL, longest * INTERVAL


def inputs():
    return ([math.sin(1.1 * n - 0.5) + 0.4 * math.sin(0.37 * n + 1.0) for n in range(SAMPLES)],)
