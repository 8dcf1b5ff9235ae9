"""Goertzel's recurrence, by hand: the coefficient, the cosine and the sine are constants."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf

b = sf.binary32
OMEGA = 2.0 * math.pi * 3 / 32


def kernel(heave: Any) -> Any:
    """Three operations a sample; in the end 2, 1, and 6 with a division by the constant 256."""
    coefficient = b(2.0 * math.cos(OMEGA))
    s1 = s2 = b(0.0)
    for x in heave.tolist():
        s0 = sf.subtraction(sf.addition(b(x), sf.multiplication(coefficient, s1)), s2)
        s1, s2 = s0, s1
    real = sf.subtraction(s1, sf.multiplication(s2, b(math.cos(OMEGA))))
    imaginary = sf.multiplication(s2, b(math.sin(OMEGA)))
    cross = sf.multiplication(sf.multiplication(coefficient, s1), s2)
    power = sf.subtraction(sf.addition(s1 * s1, s2 * s2), cross)
    return real, imaginary, sf.division(power, b(256))
