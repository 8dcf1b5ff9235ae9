"""Products of vectors, norms and traces as plain C loops compute them, in index order."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_tuple

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.array import FloatArray, arrays_for
from softfloat_py.numbers.functions import absolute, multiplication, square_root, subtraction
from softfloat_py.numbers.reductions import reduced


def outer(a: Any, b: Any) -> Any:
    """The products of each element of a with each of b: a multiplication for each element of the result."""
    left, right = arrays_for("numpy.outer", a, b)
    return multiplication(left.reshape(-1, 1), right.ravel())


def trace(a: Any, offset: int = 0, axis1: int = 0, axis2: int = 1) -> Any:
    """The sum along a diagonal, in index order: n - 1 additions for n elements."""
    diagonal: Any = np.diagonal(a, offset, axis1, axis2)
    return reduced(np.add, diagonal, -1, False)


def cross(a: Any, b: Any, axis: int = -1) -> Any:
    """The cross product of vectors of three elements along an axis.

    Counted for each pair of vectors: six multiplications and three subtractions.
    """
    left, right = (np.moveaxis(value, axis, 0) for value in arrays_for("numpy.cross", a, b))
    if (len(left), len(right)) != (3, 3):
        raise OperandError(
            f"numpy.cross needs vectors of three elements, not of {len(left)} and {len(right)} along the axis"
        )

    def element(first: int, second: int) -> Any:
        ahead = multiplication(left[first], right[second])
        return subtraction(ahead, multiplication(left[second], right[first]))

    elements = [element(1, 2), element(2, 0), element(0, 1)]
    return np.moveaxis(np.stack(elements), 0, axis)


# -- norms ------------------------------------------------------------------------------------------

NEAREST_NORMS = "the norms of ord None, 1, 2 and inf of vectors, and None, 'fro', 1 and inf of matrices"


def norm(x: Any, ord: Any = None, axis: Any = None, keepdims: bool = False) -> Any:
    """The norm of a vector, of a matrix, or along one axis or two.

    Euclidean (None, 2 of a vector, 'fro' of a matrix): n squares, n - 1 additions in index order, a square
    root; there is no scaling, so squares may overflow. 1 and inf of a vector: the sum, or the largest, of
    absolute values; of a matrix, the largest sum of absolute values of a column (1), or a row (inf).
    """
    (values,) = arrays_for("numpy.linalg.norm", x)
    axes = _axes_of_norm(values, ord, axis)
    if ord is None or (ord == 2 and len(axes) == 1) or (ord == "fro" and len(axes) == 2):
        squares = multiplication(values, values)
        return square_root(reduced(np.add, squares, axes, keepdims))
    if ord not in (1, np.inf) or len(axes) > 2:
        raise NotEmulatedError(f"numpy.linalg.norm with ord={ord!r} of {len(axes)} axes", NEAREST_NORMS)
    magnitudes = absolute(values)
    if len(axes) == 1:
        return reduced(np.add if ord == 1 else np.maximum, magnitudes, axes, keepdims)
    rows, columns = axes
    summed, kept = (rows, columns) if ord == 1 else (columns, rows)
    sums = reduced(np.add, magnitudes, summed, keepdims=True)
    largest = reduced(np.maximum, sums, kept, keepdims=True)
    return largest if keepdims else np.squeeze(largest, axes)


def _axes_of_norm(values: FloatArray, ord: Any, axis: Any) -> tuple[int, ...]:
    """The axes that a norm is taken over, all if none are named."""
    axes = normalize_axis_tuple(range(values.ndim) if axis is None else axis, values.ndim)
    if (ord is not None and len(axes) > 2) or (axis is not None and len(axes) not in (1, 2)):
        raise OperandError(f"numpy.linalg.norm needs a vector or a matrix, not {len(axes)} axes")
    return axes
