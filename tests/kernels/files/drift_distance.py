"""How far the buoy drifted from its mooring, on a map flat enough for a few hundred metres."""

import math

import numpy as np

EARTH_RADIUS = 6371000.0  # m
LATITUDE = 54.2  # degrees, of the mooring
METRES_A_DEGREE = np.pi / 180 * EARTH_RADIUS
SHRINK = math.cos(math.radians(LATITUDE))


def distance(a, b):
    north = (b["lat"] - a["lat"]) * METRES_A_DEGREE
    east = (b["lon"] - a["lon"]) * METRES_A_DEGREE * SHRINK
    return np.sqrt(north * north + east**2)


def kernel(fixes):
    legs = [distance(a, b) for a, b in zip(fixes, fixes[1:])]
    direct = distance(fixes[0], fixes[-1])
    return legs, direct / sum(legs), math.sqrt(direct) > 10


def inputs():
    # Degrees from the mooring.
    track = [(0.0, 0.0), (0.0004, 0.0003), (0.0007, 0.0011), (0.0009, 0.0008), (0.0013, 0.0017)]
    return ([{"lat": lat, "lon": lon} for lat, lon in track],)
