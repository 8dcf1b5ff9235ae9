"""The angles of the hull, by hand: four inverse functions, six sines and cosines each."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32
TURN = b(math.tau)


def times(x: sf.Number, y: sf.Number) -> sf.Number:
    """A product, with a short name."""
    return sf.multiplication(x, y)


def within_a_turn(x: sf.Number) -> sf.Number:
    """What Python's % gives: C's fmod; unless it left zero, two signs, and a turn where they differ."""
    rest = sf.remainder_truncated(x, TURN)
    if not sf.compare_quiet_not_equal(rest, b(0)):
        return sf.copy_sign(rest, TURN)
    below, of_divisor = sf.compare_quiet_less(rest, b(0)), sf.compare_quiet_less(TURN, b(0))
    return sf.addition(rest, TURN) if below != of_divisor else rest


def kernel(readings: list[tuple[float, ...]]) -> Any:
    """The declination, a turn and what makes degrees are constants; the number of readings is converted."""
    upward, found = b(0.0), []
    for reading in readings:
        ax, ay, az, mx, my, mz = map(b, reading)
        roll = sf.atan2(ay, az)
        pitch = sf.atan2(sf.negate(ax), sf.hypot(ay, az))
        tilt = sf.acos(sf.division(az, sf.hypot(sf.hypot(ax, ay), az)))
        sin_roll, cos_roll = sf.sin(roll), sf.cos(roll)
        across = sf.subtraction(times(mz, sin_roll), times(my, cos_roll))
        upright = times(mx, sf.cos(pitch))
        tilted = times(sf.addition(times(my, sin_roll), times(mz, cos_roll)), sf.sin(pitch))
        heading = sf.atan2(across, sf.addition(upright, tilted))
        turned = within_a_turn(sf.addition(heading, b(math.radians(4.5))))
        upward = sf.addition(upward, times(times(az, sf.cos(roll)), sf.cos(pitch)))
        found.append(tuple(times(angle, b(180 / math.pi)) for angle in (roll, pitch, tilt, turned)))
    return found, sf.division(upward, real(len(readings)))
