"""C's conditional expression on values: each side is computed only for the elements that take it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.array_constants import storage


def choose(condition: Any, then: Callable[..., Any], otherwise: Callable[..., Any], *values: Any) -> Any:
    """`condition ? then(values) : otherwise(values)` of a bool, or element by element of an array of bools.

    The values, Numbers and FloatArrays of one format, broadcast to the condition's shape. A side gets, and
    counts, only the elements that take it. The result is a value of the format.
    """
    if np.ndim(condition) == 0:
        return (then if condition else otherwise)(*values)
    fmt = values[0].format
    spread = [np.broadcast_to(value, condition.shape) for value in values]
    result = FloatArray._of(fmt, np.empty(condition.shape, storage(fmt)))
    for side, mask in ((then, condition), (otherwise, ~condition)):
        if mask.any():
            result[mask] = side(*(value[mask] for value in spread))
    return result
