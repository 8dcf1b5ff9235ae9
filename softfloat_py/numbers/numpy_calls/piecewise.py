"""numpy's functions that run a function of the user's on parts of an array, or choose parts by conditions.

The user's function counts what it computes; conditions were counted where they were made, and moving is not.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_index

from softfloat_py.engines.arrays.words import as_array
from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.emulated import Emulated


def piecewise(x: Any, condlist: Any, funclist: Any, *args: Any, **kw: Any) -> Any:
    """What functions, or constants, make of the elements of x where their conditions hold (numpy.piecewise).

    One function more than there are conditions is for the elements where none holds; without it these are 0.
    A function gets its elements in an array, and where it gets none it is not called.
    """
    values = as_array(x._bits, x.format.width)
    single = isinstance(condlist, bool | np.bool_) or (values.ndim and np.ndim(condlist[0]) == 0)
    conditions = [_truths("numpy.piecewise", condition) for condition in ([condlist] if single else condlist)]
    if len(funclist) == len(conditions) + 1:
        conditions.append(~np.any(conditions, axis=0))
    if len(funclist) != len(conditions):
        raise OperandError(
            f"numpy.piecewise needs a function for each of {len(conditions)} conditions, or one more, "
            f"not {len(funclist)}"
        )
    pieces = FloatArray._of(x.format, np.zeros_like(values))
    for condition, function in zip(conditions, funclist, strict=True):
        elements = FloatArray._of(x.format, values[condition])
        if not callable(function):
            pieces[condition] = function
        elif elements.size:
            pieces[condition] = function(elements, *args, **kw)
    return x.format.value_of(pieces._bits)


def _truths(function: str, condition: Any) -> Any:
    truths = np.asarray(condition) if not isinstance(condition, Emulated) else None
    if truths is None or truths.dtype != bool:
        raise OperandError(
            f"{function} needs conditions of bools, such as a comparison gives, not {condition!r}"
        )
    return truths


def apply_along_axis(func1d: Callable[..., Any], axis: int, arr: Any, *args: Any, **kwargs: Any) -> Any:
    """What a function makes of each line of elements along an axis (numpy.apply_along_axis).

    Its results, Numbers and arrays, or values of the host, take the place of the axis.
    """
    axis = normalize_axis_index(axis, arr.ndim)
    along = np.moveaxis(arr, axis, -1)
    rest = along.shape[:-1]
    results = [func1d(along[index], *args, **kwargs) for index in np.ndindex(rest)]
    if not results:
        raise OperandError("numpy.apply_along_axis needs at least one line of elements, not an empty array")
    whole: Any = np.stack(results) if isinstance(results[0], Emulated) else np.array(results)
    whole = np.reshape(whole, (*rest, *whole.shape[1:]))
    for place in range(len(rest), np.ndim(whole)):
        whole = np.moveaxis(whole, place, axis + place - len(rest))
    return whole


def apply_over_axes(func: Callable[..., Any], a: Any, axes: Any) -> Any:
    """What a function of an array and an axis makes of it for one axis after the other
    (numpy.apply_over_axes).

    An axis that the function has taken away comes back with length one.
    """
    value = a
    for named in np.atleast_1d(axes).tolist():
        axis = normalize_axis_index(named, np.ndim(a))
        result = func(value, axis)
        if np.ndim(result) == np.ndim(value) - 1:
            result = np.expand_dims(result, axis)
        if np.ndim(result) != np.ndim(value):
            raise OperandError(
                "numpy.apply_over_axes needs a function that keeps all axes, or takes its own away"
            )
        value = result
    return value


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.piecewise: piecewise,
    np.apply_along_axis: apply_along_axis,
    np.apply_over_axes: apply_over_axes,
}
