"""Attitude of the hull from turn rates: a quaternion, kept at length one by Newton's square root."""

from typing import NamedTuple

HALF_STEP = 0.5 * 0.02  # s
CLOSE = 1e-6


class Quaternion(NamedTuple):
    w: float = 1.0
    x: float = 0.0
    y: float = 0.0
    z: float = 0.0


def newton_root(square):
    guess = 1.0
    while True:
        better = 0.5 * (guess + square / guess)
        if abs(better - guess) < CLOSE:
            return better
        guess = better


def turned(q, p, q_rate, r):
    w, x, y, z = q
    raw = (
        w - HALF_STEP * (x * p + y * q_rate + z * r),
        x + HALF_STEP * (w * p + y * r - z * q_rate),
        y + HALF_STEP * (w * q_rate - x * r + z * p),
        z + HALF_STEP * (w * r + x * q_rate - y * p),
    )
    length = newton_root(sum(part * part for part in raw))
    return Quaternion(*(part / length for part in raw))


def kernel(rates):
    q = Quaternion()
    for rate in rates:
        q = turned(q, *rate)
    tilt = 1 - 2 * (q.x * q.x + q.y * q.y)
    return q, tilt, -q.z


def inputs():
    return ([(0.4, -0.2, 0.05), (0.38, -0.1, 0.07), (0.31, 0.02, 0.11), (0.2, 0.15, 0.1)] * 2,)
