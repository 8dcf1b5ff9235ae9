"""Crests of a heave record: higher than both neighbours and above a threshold."""

import math

THRESHOLD = 0.25  # m
DEAD_TIME = 3  # samples in which the same crest is not found again


def is_crest(before, here, after):
    if here < THRESHOLD:
        return False
    return before < here >= after


def kernel(heave):
    crests = []
    i = 1
    while i < len(heave) - 1:
        if is_crest(*heave[i - 1 : i + 2]):
            crests.append((i, heave[i]))
            i += DEAD_TIME
        else:
            i += 1
    if not crests:
        return None
    highest = max(height for _, height in crests)
    return crests, highest, highest > 2 * THRESHOLD


def inputs():
    return ([0.9 * math.sin(0.7 * n) * math.sin(0.11 * n + 0.4) for n in range(40)],)
