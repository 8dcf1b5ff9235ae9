"""Headings in sectors, by hand: what module variables hold between calls is data, not a constant."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import whole

b = sf.binary32


def kernel(headings: list[float]) -> Any:
    """Each way to a whole number is an integral value of the format first, then a conversion of it."""
    histogram = [0] * 8
    turns = 0
    last, travelled = b(0.0), b(0.0)
    for value in headings:
        heading = sf.addition(b(value), b(22.5))
        while sf.compare_signaling_greater_equal(heading, b(360.0)):
            heading = sf.subtraction(heading, b(360.0))
            turns += 1
        while sf.compare_signaling_less(heading, b(0.0)):
            heading = sf.addition(heading, b(360.0))
            turns -= 1
        histogram[whole(sf.division(heading, b(45.0)))] += 1
        travelled = sf.addition(travelled, sf.absolute(sf.subtraction(heading, last)))
        last = heading
    below = sf.convert_to_integer(sf.round_to_integral_toward_negative(travelled), 32)
    near = sf.convert_to_integer(sf.round_to_integral_ties_to_even(travelled), 32)
    above = sf.convert_to_integer(sf.round_to_integral_toward_positive(travelled), 32)
    back = sf.negate(travelled) if sf.compare_quiet_not_equal(travelled, b(0)) else travelled
    return histogram, turns, (below, near, above), back, sf.multiplication(last, b(2.0))
