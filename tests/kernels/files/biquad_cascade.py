"""Two second-order sections that keep the waves of an acceleration record and lose the ship noise."""

import math

SECTIONS = [
    {"b": (0.2066, 0.4131, 0.2066), "a": (-0.3695, 0.1958)},
    {"b": (0.8, -1.6, 0.8), "a": (-1.5610, 0.6414)},
]


class Biquad:
    def __init__(self, b, a):
        self.b, self.a = b, a
        self.z1 = self.z2 = 0.0

    def step(self, x):
        y = self.b[0] * x + self.z1
        self.z1 = self.b[1] * x - self.a[0] * y + self.z2
        self.z2 = self.b[2] * x - self.a[1] * y
        return y


def kernel(acceleration):
    cascade = [Biquad(**section) for section in SECTIONS]
    filtered = []
    for x in acceleration:
        for section in cascade:
            x = section.step(x)
        filtered.append(x)
    return filtered


def inputs():
    return (tuple(0.2 + 0.5 * math.sin(0.5 * n) + 0.05 * (-1) ** n for n in range(24)),)
