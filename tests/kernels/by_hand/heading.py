"""Headings, by hand: two corrections, an arctangent and a product with a constant each."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(field: list[tuple[float, float]]) -> Any:
    """What turns radians into degrees is a constant of the program."""
    headings = []
    for north, east in field:
        corrected = sf.subtraction(b(north), b(0.02)), sf.addition(b(east), b(0.01))
        radians = sf.atan2(corrected[1], corrected[0])
        headings.append(sf.multiplication(radians, b(57.29577951308232)))
    return headings
