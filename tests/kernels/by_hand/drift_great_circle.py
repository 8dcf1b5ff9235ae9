"""Great circles, by hand: four angles, four sines and cosines for the distance, seven for the course."""

from __future__ import annotations

import itertools
import math
from typing import Any

import softfloat_py as sf

b = sf.binary32
ANGLE, DEGREES = b(math.pi / 180), b(180 / math.pi)


def times(x: sf.Number, *factors: sf.Number) -> sf.Number:
    """Products from the left on."""
    for factor in factors:
        x = sf.multiplication(x, factor)
    return x


def square(x: sf.Number) -> sf.Number:
    """One product."""
    return sf.multiplication(x, x)


def leg(here: tuple[float, float], there: tuple[float, float]) -> tuple[sf.Number, sf.Number]:
    """Nothing that Python's text computes twice is computed once; twice the radius is a constant."""
    north, east, to_north, to_east = (times(b(angle), ANGLE) for angle in (*here, *there))
    half_north = sf.division(sf.subtraction(to_north, north), b(2))
    half_east = sf.division(sf.subtraction(to_east, east), b(2))
    of_north = square(sf.sin(half_north))
    of_east = times(sf.cos(north), sf.cos(to_north), square(sf.sin(half_east)))
    h = sf.addition(of_north, of_east)
    y = times(sf.sin(sf.subtraction(to_east, east)), sf.cos(to_north))
    turned = times(sf.sin(north), sf.cos(to_north), sf.cos(sf.subtraction(to_east, east)))
    x = sf.subtraction(times(sf.cos(north), sf.sin(to_north)), turned)
    return times(b(12742.0), sf.asin(sf.square_root(h))), times(sf.atan2(y, x), DEGREES)


def kernel(fixes: list[tuple[float, float]]) -> Any:
    """A sum of the distances, which begins with a constant zero."""
    total, courses = b(0.0), []
    for here, there in itertools.pairwise(fixes):
        distance, course = leg(here, there)
        total = sf.addition(total, distance)
        courses.append(course)
    return total, courses
