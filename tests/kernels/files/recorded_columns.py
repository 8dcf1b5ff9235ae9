"""A recorded table as columns of a structured array."""

import io

import numpy as np

TEXT = """count,heave,pressure
120,0.31,10.9
131,0.55,11.4
127,-0.12,10.2
118,-0.48,9.6
122,-0.05,10.1
"""


def kernel(log):
    heave = log["heave"]
    level = heave - np.mean(heave)
    depth = log["pressure"] * 0.125
    strain = log["count"] * 0.25
    return np.sum(level * level) / len(log), depth, strain, heave[2]


def inputs():
    log = np.genfromtxt(
        io.StringIO(TEXT),
        delimiter=",",
        skip_header=1,
        dtype=[("count", "i2"), ("heave", "f8"), ("pressure", "f4")],
    )
    return (log,)
