"""Roll, pitch, tilt and heading of the hull from gravity and the earth's field, and the mean vertical part."""

import math
from dataclasses import dataclass

DECLINATION = math.radians(4.5)


@dataclass
class Angles:
    roll: float
    pitch: float
    tilt: float
    heading: float


def angles(ax, ay, az, mx, my, mz):
    roll = math.atan2(ay, az)
    pitch = math.atan2(-ax, math.hypot(ay, az))
    tilt = math.acos(az / math.hypot(ax, ay, az))
    sin_roll, cos_roll = math.sin(roll), math.cos(roll)
    across = mz * sin_roll - my * cos_roll
    along = mx * math.cos(pitch) + (my * sin_roll + mz * cos_roll) * math.sin(pitch)
    heading = (math.atan2(across, along) + DECLINATION) % math.tau
    return Angles(roll, pitch, tilt, heading)


def kernel(readings):
    upward = 0.0
    found = []
    for reading in readings:
        hull = angles(*reading)
        upward += reading[2] * math.cos(hull.roll) * math.cos(hull.pitch)
        found.append(tuple(map(math.degrees, (hull.roll, hull.pitch, hull.tilt, hull.heading))))
    return found, upward / len(readings)


def inputs():
    readings = [
        (0.41, -0.32, 9.71, 17.5, -3.2, 44.1),
        (-0.22, 1.75, 9.62, 12.1, 15.8, 42.9),
        (1.31, 0.08, 9.80, -16.4, 6.3, 45.2),
    ]
    return (readings,)
