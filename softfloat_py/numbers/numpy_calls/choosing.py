"""C's conditional expressions on values: each side is computed only for the elements that come to it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.array_constants import storage
from softfloat_py.numbers.number import Number


def choose(condition: Any, then: Callable[..., Any], otherwise: Callable[..., Any], *values: Any) -> Any:
    """`condition ? then(values) : otherwise(values)` of a bool, or element by element of an array of bools.

    The values, Numbers and FloatArrays of one format and host arrays beside them, broadcast to the
    condition's shape. A side gets, and counts, only the elements that take it. The result is a value of the
    format of the first value.
    """
    if isinstance(condition, bool | np.bool_):
        return (then if condition else otherwise)(*values)
    fmt = values[0].format
    spread = [np.broadcast_to(value, condition.shape) for value in values]
    result = FloatArray._of(fmt, np.empty(condition.shape, storage(fmt)))
    for side, mask in ((then, condition), (otherwise, ~condition)):
        if mask.any():
            result[mask] = side(*(value[mask] for value in spread))
    return result


def also(condition: Any, question: Callable[..., Any], *values: Any) -> Any:
    """`condition && question(values)` of a bool, or element by element of an array of bools.

    The question is asked, and counts, only where the condition holds. Values broadcast as for `choose`.
    """
    if isinstance(condition, bool | np.bool_):
        return bool(condition and question(*values))
    answers = np.zeros(condition.shape, bool)
    if condition.any():
        spread = (np.broadcast_to(value, condition.shape)[condition] for value in values)
        answers[condition] = question(*spread)
    return answers


def in_one_shape(*values: Any) -> list[Any]:
    """Values broadcast against each other, so that a loop over elements meets each; single ones as they are.

    Arrays that were spread are views that cannot be written to.
    """
    if all(isinstance(value, Number) for value in values):
        return list(values)
    shape = np.broadcast_shapes(*map(np.shape, values))
    return [np.broadcast_to(value, shape) for value in values] if shape else list(values)
