"""numpy's questions about whole arrays: any, all, how many differ from zero, and what is nearly equal.

An element is true if it differs from zero, as in C's `if (x)`; a NaN does. Asking is counted as
compare_quiet_not_equal for each element; there is no early end.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from softfloat_py.numbers.array import encodings_for
from softfloat_py.numbers.functions import (
    absolute,
    addition,
    compare_quiet_equal,
    compare_quiet_less_equal,
    compare_quiet_not_equal,
    is_finite,
    is_nan,
    multiplication,
    subtraction,
)
from softfloat_py.numbers.operands import format_of


def any_true(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """Whether an element differs from zero, of all or along axes."""
    return np.any(compare_quiet_not_equal(a, 0), axis=axis, keepdims=keepdims)


def all_true(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """Whether all elements differ from zero, of all or along axes."""
    return np.all(compare_quiet_not_equal(a, 0), axis=axis, keepdims=keepdims)


def count_nonzero(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """How many elements differ from zero, of all or along axes."""
    return np.count_nonzero(compare_quiet_not_equal(a, 0), axis=axis, keepdims=keepdims)


def nonzero(a: Any) -> Any:
    """The indices of elements that differ from zero, an array for each axis."""
    return np.nonzero(compare_quiet_not_equal(a, 0))


def flatnonzero(a: Any) -> Any:
    """The places, counted along one axis, of elements that differ from zero."""
    return np.flatnonzero(compare_quiet_not_equal(a, 0))


def argwhere(a: Any) -> Any:
    """The indices of elements that differ from zero, a row for each element."""
    return np.argwhere(compare_quiet_not_equal(a, 0))


def trim_zeros(filt: Any, trim: str = "fb") -> Any:
    """A sequence without the zeros at its front ("f"), its back ("b") or both ("fb")."""
    places = flatnonzero(filt)
    if not len(places):
        return filt[:0]
    first = places[0] if "f" in trim.lower() else 0
    return filt[first : places[-1] + 1 if "b" in trim.lower() else len(filt)]


def array_equal(a1: Any, a2: Any, equal_nan: bool = False) -> bool:
    """Whether shapes and elements are equal; elements are compared, and counted, only if the shapes are.

    Counted for each element: compare_quiet_equal, and with `equal_nan` two is_nan.
    """
    return np.shape(a1) == np.shape(a2) and _all_equal("numpy.array_equal", a1, a2, equal_nan)


def array_equiv(a1: Any, a2: Any) -> bool:
    """Whether elements are equal, shapes broadcast; compare_quiet_equal for each, if they do broadcast."""
    try:
        np.broadcast_shapes(np.shape(a1), np.shape(a2))
    except ValueError:
        return False
    return _all_equal("numpy.array_equiv", a1, a2)


def _all_equal(function: str, a: Any, b: Any, equal_nan: bool = False) -> bool:
    x, y = _of_one_format(function, a, b)
    equal = compare_quiet_equal(x, y)
    return bool(np.all(equal | is_nan(x) & is_nan(y) if equal_nan else equal))


def _of_one_format(function: str, *values: Any) -> list[Any]:
    """Emulated values, and the constants and sequences beside them, as values of the format."""
    fmt = format_of(values)
    return [fmt.value_of(encodings_for(fmt, value, function)) for value in values]


def isclose(a: Any, b: Any, rtol: float = 1e-05, atol: float = 1e-08, equal_nan: bool = False) -> Any:
    """Whether |a - b| <= atol + rtol × |b| and b is finite, or a equals b; with `equal_nan` also two NaNs.

    Computed in the format of a and b, as a program on the target would, with rtol and atol rounded to it. In
    a short format atol may become zero. Counted for each element: subtraction, absolute, absolute,
    multiplication, addition, compare_quiet_less_equal, is_finite, compare_quiet_equal, and with `equal_nan`
    two is_nan.
    """
    a, b = _of_one_format("numpy.isclose", a, b)
    distance = absolute(subtraction(a, b))
    within = addition(multiplication(absolute(b), rtol), atol)
    near = compare_quiet_less_equal(distance, within) & is_finite(b) | compare_quiet_equal(a, b)
    return near | is_nan(a) & is_nan(b) if equal_nan else near


def allclose(a: Any, b: Any, rtol: float = 1e-05, atol: float = 1e-08, equal_nan: bool = False) -> bool:
    """Whether all elements are close, as isclose says and counts."""
    return bool(np.all(isclose(a, b, rtol, atol, equal_nan)))
