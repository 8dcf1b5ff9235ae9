"""Norms of vectors and matrices as plain C loops compute them, in index order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_tuple

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.array import FloatArray, arrays_for
from softfloat_py.numbers.functions import absolute, multiplication, square_root
from softfloat_py.numbers.numpy_calls.reductions import reduced

NEAREST = "the norms of ord None, 1, 2, inf and -inf of vectors, None, 'fro', 1, -1, inf and -inf of matrices"
EXTREME = {np.inf: np.maximum, -np.inf: np.minimum, 1: np.maximum, -1: np.minimum}


def norm(x: Any, ord: Any = None, axis: Any = None, keepdims: bool = False) -> Any:
    """The norm of a vector, of a matrix, or along one axis or two.

    Euclidean (None, 2 of a vector, 'fro' of a matrix): n squares, n - 1 additions in index order, a square
    root; there is no scaling, so squares may overflow. Of a vector, 1 is the sum of absolute values, inf and
    -inf the largest and the smallest. Of a matrix, 1 and -1 are the largest and the smallest sum of absolute
    values of a column, inf and -inf those of a row. Each takes n absolutes, and additions, maximum or minimum
    from element to element.
    """
    (values,) = arrays_for("numpy.linalg.norm", x)
    axes = _axes_of_norm(values, ord, axis)
    if ord is None or (ord == 2 and len(axes) == 1) or (ord == "fro" and len(axes) == 2):
        squares = multiplication(values, values)
        return square_root(reduced(np.add, squares, axes, keepdims))
    if ord not in EXTREME or len(axes) > 2 or (ord == -1 and len(axes) == 1):
        raise NotEmulatedError(f"numpy.linalg.norm with ord={ord!r} of {len(axes)} axes", NEAREST)
    magnitudes = absolute(values)
    if len(axes) == 1:
        return reduced(np.add if ord == 1 else EXTREME[ord], magnitudes, axes, keepdims)
    rows, columns = axes
    summed, kept = (rows, columns) if ord in (1, -1) else (columns, rows)
    sums = reduced(np.add, magnitudes, summed, keepdims=True)
    extreme = reduced(EXTREME[ord], sums, kept, keepdims=True)
    return extreme if keepdims else np.squeeze(extreme, axes)


def _axes_of_norm(values: FloatArray, ord: Any, axis: Any) -> tuple[int, ...]:
    """The axes that a norm is taken over, all if none are named."""
    axes = normalize_axis_tuple(range(values.ndim) if axis is None else axis, values.ndim)
    if (ord is not None and len(axes) > 2) or (axis is not None and len(axes) not in (1, 2)):
        raise OperandError(f"numpy.linalg.norm needs a vector or a matrix, not {len(axes)} axes")
    return axes


def vector_norm(x: Any, /, *, axis: Any = None, keepdims: bool = False, ord: Any = 2) -> Any:
    """`norm` of the elements along an axis, or of all of an array as one vector."""
    if isinstance(axis, tuple) or (axis is None and keepdims and np.ndim(x) != 1):
        raise NotEmulatedError(
            "numpy.linalg.vector_norm along several axes", "numpy.linalg.vector_norm of the reshaped array"
        )
    return norm(np.ravel(x) if axis is None else x, ord, -1 if axis is None else axis, keepdims)


def matrix_norm(x: Any, /, *, keepdims: bool = False, ord: Any = "fro") -> Any:
    """`norm` over the last two axes: of a matrix, or of each of a stack."""
    return norm(x, ord, (-2, -1), keepdims)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.linalg.norm: norm,
    np.linalg.vector_norm: vector_norm,
    np.linalg.matrix_norm: matrix_norm,
}
