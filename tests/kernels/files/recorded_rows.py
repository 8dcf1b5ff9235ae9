"""A recorded structured array, row by row: work against the mooring line."""

import numpy as np


def kernel(log):
    work = 0.0
    pulls = 0
    for row in log:
        if row["tension"] > 1.5:
            work += row["tension"] * row["payout"]
            pulls += 1
    first = log[0]["tension"]
    return work, pulls, log["tension"][-1] - first


def inputs():
    rows = [(1.2, 0.05), (1.9, 0.125), (2.4, 0.3), (1.45, 0.02), (1.6, 0.1)]
    return (np.array(rows, dtype=[("tension", "f8"), ("payout", "f8")]),)
