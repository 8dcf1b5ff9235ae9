"""Products of vectors and matrices, powers and traces as plain C loops compute them, in index order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from math import prod
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_tuple

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import arrays_for
from softfloat_py.numbers.functions import multiplication, subtraction
from softfloat_py.numbers.makers import eye
from softfloat_py.numbers.numpy_calls import solving
from softfloat_py.numbers.numpy_calls.reductions import dot, matmul, reduced

# -- products of vectors ----------------------------------------------------------------------------


def outer(a: Any, b: Any) -> Any:
    """The products of each element of a with each of b: a multiplication for each element of the result."""
    left, right = arrays_for("numpy.outer", a, b)
    return multiplication(left.reshape(-1, 1), right.ravel())


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


def vecdot(x1: Any, x2: Any, *, axis: int = -1) -> Any:
    """The inner products along an axis, which broadcast: n multiplications, n - 1 additions for each."""
    left, right = (np.moveaxis(value, axis, -1) for value in arrays_for("numpy.vecdot", x1, x2))
    if left.shape[-1] != right.shape[-1]:
        raise OperandError(
            f"numpy.vecdot needs vectors of one length, not of {left.shape[-1]} and {right.shape[-1]}"
        )
    return reduced(np.add, multiplication(left, right), -1, False)


def matvec(x1: Any, x2: Any) -> Any:
    """The product of matrices with vectors (the last axis of x2), both of which may be stacks; see matmul."""
    matrices, vectors = arrays_for("numpy.matvec", x1, x2)
    return matmul(matrices, vectors[..., np.newaxis])[..., 0]


def vecmat(x1: Any, x2: Any) -> Any:
    """The product of vectors (the last axis of x1) with matrices, both of which may be stacks; see matmul."""
    vectors, matrices = arrays_for("numpy.vecmat", x1, x2)
    return matmul(vectors[..., np.newaxis, :], matrices)[..., 0, :]


# -- products of matrices ---------------------------------------------------------------------------


def trace(a: Any, offset: int = 0, axis1: int = 0, axis2: int = 1) -> Any:
    """The sum along a diagonal, in index order: n - 1 additions for n elements."""
    diagonal: Any = np.diagonal(a, offset, axis1, axis2)
    return reduced(np.add, diagonal, -1, False)


def kron(a: Any, b: Any) -> Any:
    """The Kronecker product: a multiplication for each element of the result."""
    left, right = arrays_for("numpy.kron", a, b)
    axes = max(left.ndim, right.ndim)
    left, right = (value.reshape((1,) * (axes - value.ndim) + value.shape) for value in (left, right))
    of_left, of_right = range(0, 2 * axes, 2), range(1, 2 * axes, 2)
    product = multiplication(np.expand_dims(left, tuple(of_right)), np.expand_dims(right, tuple(of_left)))
    return product.reshape([n * m for n, m in zip(left.shape, right.shape, strict=True)])


def tensordot(a: Any, b: Any, axes: Any = 2) -> Any:
    """The products summed over some axes of a and b: the last `axes` of a and the first of b, or those named.

    A matrix product whose summed index runs over those axes in their order, the last one fastest. Counted
    for each element of the result, m the number of summed products: m multiplications, m - 1 additions.
    """
    left, right = arrays_for("numpy.tensordot", a, b)
    if isinstance(axes, int):
        axes = range(left.ndim - axes, left.ndim), range(axes)
    of_left, of_right = (
        normalize_axis_tuple(one, value.ndim) for one, value in zip(axes, (left, right), strict=True)
    )
    lengths = [left.shape[axis] for axis in of_left]
    if lengths != [right.shape[axis] for axis in of_right]:
        raise OperandError(
            f"numpy.tensordot needs axes of the same lengths, not {tuple(lengths)} "
            f"and {tuple(right.shape[axis] for axis in of_right)}"
        )
    rows, columns = _others(left.ndim, of_left), _others(right.ndim, of_right)
    shape = [left.shape[axis] for axis in rows] + [right.shape[axis] for axis in columns]
    summed = prod(lengths)
    matrix = left.transpose(*rows, *of_left).reshape(prod(left.shape[axis] for axis in rows), summed)
    other = right.transpose(*of_right, *columns).reshape(summed, prod(right.shape[axis] for axis in columns))
    product = matmul(matrix, other)
    return product.reshape(shape) if shape else product.item()


def _others(count: int, axes: Sequence[int]) -> list[int]:
    return [axis for axis in range(count) if axis not in axes]


def multi_dot(arrays: Sequence[Any]) -> Any:
    """The product of vectors and matrices from left to right, as it is written; each counted as `dot`.

    numpy would choose the order that takes the fewest products; write parentheses for another one.
    """
    if len(arrays) < 2:
        raise OperandError(f"numpy.linalg.multi_dot needs at least two arrays, not {len(arrays)}")
    return reduce(dot, arrays)


def matrix_power(a: Any, n: int) -> Any:
    """The n-th power of a square matrix by repeated squaring, of its inverse for a negative n.

    From the lowest bit of n to the highest, a is squared, and multiplied to the result where the bit is set:
    as many matrix products as n has bits and set bits, less two. The power 0 is the identity, a constant.
    """
    (square,) = arrays_for("numpy.linalg.matrix_power", a)
    solving.check_square("numpy.linalg.matrix_power", square)
    square = solving.inv(square) if n < 0 else square
    result, exponent = None, abs(n)
    while exponent:
        if exponent & 1:
            result = square.copy() if result is None else matmul(result, square)
        exponent >>= 1
        if exponent:
            square = matmul(square, square)
    return eye(square.format, len(square), None, 0) if result is None else result


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.outer: outer,
    np.cross: cross,
    np.trace: trace,
    np.kron: kron,
    np.tensordot: tensordot,
    np.vecdot: vecdot,
    np.linalg.matrix_power: matrix_power,
    np.linalg.multi_dot: multi_dot,
    np.linalg.outer: lambda x1, x2, /: outer(x1, x2),
    np.linalg.cross: lambda x1, x2, /, *, axis=-1: cross(x1, x2, axis),
    np.linalg.matmul: lambda x1, x2, /: matmul(x1, x2),
    np.linalg.tensordot: lambda x1, x2, /, *, axes=2: tensordot(x1, x2, axes),
    np.linalg.vecdot: lambda x1, x2, /, *, axis=-1: vecdot(x1, x2, axis=axis),
    np.linalg.trace: lambda x, /, *, offset=0: trace(x, offset, -2, -1),
}
# Since numpy 2.2.
for _name, _row in (("matvec", matvec), ("vecmat", vecmat)):
    if hasattr(np, _name):
        ROWS[getattr(np, _name)] = _row
