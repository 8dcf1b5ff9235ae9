"""A random share of each level: the factor is another one each time."""

import random


def kernel(levels):
    total = 0.0
    for level in levels:
        total += level * random.random()  # leaves: host operand
    return total


def inputs():
    random.seed(11)
    return ([1.25, 2.5, 3.75, 0.5],)
