"""A range finder's heights without the jumps that spray makes: none moves further than a limit."""

import math

SAMPLES = 32
LIMIT = 0.35  # m
BACK = -0.35  # m


def kernel(heights):
    height = heights[0]
    limited = []
    for i in range(1, SAMPLES):
        move = heights[i] - height
        if move > LIMIT:
            move = LIMIT
        elif move < BACK:
            move = BACK
        height = height + move
        limited.append(height)
    return limited


def inputs():
    return ([5.0 + 0.8 * math.sin(0.6 * n) + (1.9 if n % 7 == 3 else 0.0) for n in range(SAMPLES)],)
