"""Linear interpolation in a table, as a plain C loop does it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.functions import (
    addition,
    compare_signaling_greater,
    compare_signaling_less,
    division,
    multiplication,
    subtraction,
)
from softfloat_py.numbers.numpy_calls.choosing import choose
from softfloat_py.numbers.numpy_calls.searching import bisected
from softfloat_py.numbers.operands import format_of
from softfloat_py.operations import OPERATIONS

GREATER_EQUAL = OPERATIONS["compare_signaling_greater_equal"]


def interp(x: Any, xp: Any, fp: Any, left: Any = None, right: Any = None) -> Any:
    """The height at x of the line through points (xp[i], fp[i]), whose xp ascend (numpy.interp).

    Below the first point it is `left`, or else the first height; beyond the last point `right`, or else the
    last height. A NaN stays one. Tables are emulated, or sequences of constants, and are read at run time: no
    compiler knows which point is next, so the slope is worked out for every x, of constants too. A program
    with a table of slopes writes searchsorted, a multiplication and an addition.

    Counted for each x, with n points: compare_signaling_less with the first point; unless that holds,
    compare_signaling_greater with the last; unless that holds, compare_signaling_greater_equal by bisection,
    at most ceil(log2(n)) times; and unless it is the last point itself, 3 subtractions, a division, a
    multiplication and an addition: (fp[i + 1] - fp[i]) / (xp[i + 1] - xp[i]) × (x - xp[i]) + fp[i].
    """
    fmt = format_of((x, xp, fp, left, right))

    def emulated(value: Any) -> Any:
        return fmt.value_of(encodings_for(fmt, value, "numpy.interp"))

    places, heights = _table(emulated(xp), emulated(fp))
    before = heights[0] if left is None else emulated(left)
    after = heights[-1] if right is None else emulated(right)

    def not_below(x: Any) -> Any:
        beyond = compare_signaling_greater(x, places[-1])
        return choose(beyond, lambda x: after, lambda x: _within(x, places, heights), x)

    point = emulated(x)
    return choose(compare_signaling_less(point, places[0]), lambda x: before, not_below, point)


def _table(places: Any, heights: Any) -> tuple[FloatArray, FloatArray]:
    shapes = np.shape(places), np.shape(heights)
    if shapes[0] != shapes[1] or len(shapes[0]) != 1 or shapes[0] == (0,):
        raise OperandError(
            "numpy.interp needs as many xp as fp, each a sequence of at least one number, "
            f"not shapes {shapes[0]} and {shapes[1]}"
        )
    return places, heights


def _within(x: Any, places: FloatArray, heights: FloatArray) -> Any:
    """The height at an x that is neither below the first point nor beyond the last."""
    # The first point is known not to be beyond x.
    low = bisected(places[1:], x, GREATER_EQUAL, ahead=True)
    last = len(places) - 1
    high = np.minimum(low + 1, last)
    ends = places[low], places[high], heights[low], heights[high]
    return choose(low == last, _height_at_point, _height_on_line, x, *ends)


def _height_at_point(x: Any, x0: Any, x1: Any, y0: Any, y1: Any) -> Any:
    return y0


def _height_on_line(x: Any, x0: Any, x1: Any, y0: Any, y1: Any) -> Any:
    slope = division(subtraction(y1, y0), subtraction(x1, x0))
    return addition(multiplication(slope, subtraction(x, x0)), y0)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {np.interp: interp}
