"""Squares in the threads of a pool."""

from concurrent.futures import ThreadPoolExecutor


def kernel(levels):
    with ThreadPoolExecutor(2) as pool:
        squares = list(pool.map(lambda level: level * level, levels))  # leaves: thread
    return squares[0] + squares[1]


def inputs():
    return ([1.25, 2.5, 3.75, 0.5],)
