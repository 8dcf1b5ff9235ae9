"""Integers of a program on their way to a float and back, as the hand-emulated kernels write them."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def real(value: Any, width: int = 32, *, signed: bool = True) -> sf.Number:
    """An integer variable of the program as a float: one conversion."""
    number: sf.Number = sf.convert_from_integer(value, b, width=width, signed=signed)
    return number


def whole(x: sf.Number) -> int:
    """What C's conversion makes of a float, the part before the point in 32 bits: one conversion."""
    return sf.convert_to_integer_toward_zero(x, 32)
