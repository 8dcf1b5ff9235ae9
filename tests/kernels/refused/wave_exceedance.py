"""How often a slope steeper than the limit is met, slopes being normally distributed."""

from math import erfc, sqrt


def share_above(limit, deviation):
    return 0.5 * erfc(limit / (deviation * sqrt(2.0)))  # refused: erfc


def kernel(deviations):
    shares = []
    for deviation in deviations:
        shares.append(share_above(0.12, deviation))
    return shares


def inputs():
    return ([0.03, 0.05, 0.08],)
