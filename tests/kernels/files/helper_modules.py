"""Shocks to the hull, with units and limits in files of their own."""

import buoy_units
from buoy_units import to_g


def kernel(acceleration):
    from buoy_limits import ALARM, state

    shocks = [abs(to_g(a) - 1.0) for a in acceleration]
    worst = max(shocks)
    weights = buoy_units.weights(2)
    return [state(shock) for shock in shocks], worst / ALARM, worst * buoy_units.GRAVITY, weights[0] * worst


def inputs():
    return ([9.81, 10.02, 10.9, 9.1, 8.7, 9.75],)
