"""Sums, products, largest and smallest, inner and matrix products of arrays.

All go element by element in index order, as the plain C loop on the target would: a running sum starts with
the first element and has n - 1 additions. Of more axes, only the others are computed side by side.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce
from itertools import accumulate
from math import prod
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_index, normalize_axis_tuple
from numpy.typing import NDArray

from softfloat_py.engines.arrays.words import as_array, from_ints, to_ints
from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.applying import apply_arrays, apply_in_turn
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.constants import constant
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.operands import format_of
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation

ADDITION, MULTIPLICATION = OPERATIONS["addition"], OPERATIONS["multiplication"]
# numpy's functions with a `reduce`, and what it gives for no elements.
REDUCED_BY: dict[Any, tuple[Operation, int | None]] = {
    np.add: (ADDITION, 0),
    np.multiply: (MULTIPLICATION, 1),
    np.maximum: (OPERATIONS["maximum"], None),
    np.minimum: (OPERATIONS["minimum"], None),
    np.fmax: (OPERATIONS["maximum_number"], None),
    np.fmin: (OPERATIONS["minimum_number"], None),
}


def reduced(ufunc: Any, values: Emulated, axis: Any, keepdims: bool) -> Any:
    """From element to element along one axis, several or (None) all, in index order, from the first on."""
    operation, of_nothing = REDUCED_BY[ufunc]
    fmt, bits = values.format, as_array(values._bits, values.format.width)
    axes = normalize_axis_tuple(range(bits.ndim) if axis is None else axis, bits.ndim)
    rest = [number for number in range(bits.ndim) if number not in axes]
    lengths = [bits.shape[number] for number in (*axes, *rest)]
    ordered = bits.transpose(*axes, *rest).reshape(prod(lengths[: len(axes)]), *lengths[len(axes) :])
    if len(ordered):
        result = _running(operation, fmt, ordered, reduce)
    elif of_nothing is None:
        raise OperandError(f"numpy.{ufunc.__name__}.reduce needs at least one element, not an empty array")
    else:
        result = np.full(ordered.shape[1:], as_array(constant(fmt, of_nothing), fmt.width))
    if keepdims:
        result = np.expand_dims(as_array(result, fmt.width), tuple(sorted(axes)))
    return fmt.value_of(result)


def accumulated(ufunc: Any, values: Emulated, axis: int) -> FloatArray:
    """All that `reduced` meets on its way along one axis, in an array of the same shape."""
    operation, _ = REDUCED_BY[ufunc]
    ordered = np.moveaxis(values._bits, axis, 0)
    partial = _running(operation, values.format, ordered, accumulate) if len(ordered) else []
    if ordered.ndim == 1:
        stacked = from_ints(partial, values.format.width)
    else:
        stacked = np.array(partial, ordered.dtype).reshape(ordered.shape)
    return FloatArray._of(values.format, np.moveaxis(stacked, 0, axis))


def cumulative_sum(x: Any, /, *, axis: int | None = None, include_initial: bool = False) -> FloatArray:
    """All running sums along an axis in index order, after a zero with `include_initial`.

    Counted for each line of n elements: n - 1 additions.
    """
    return _cumulative(np.add, x, axis, include_initial)


def cumulative_prod(x: Any, /, *, axis: int | None = None, include_initial: bool = False) -> FloatArray:
    """All running products along an axis in index order, after a one with `include_initial`.

    Counted for each line of n elements: n - 1 multiplications.
    """
    return _cumulative(np.multiply, x, axis, include_initial)


def _cumulative(ufunc: Any, x: Emulated, axis: int | None, include_initial: bool) -> FloatArray:
    values = FloatArray._of(x.format, np.atleast_1d(as_array(x._bits, x.format.width)))
    if axis is None and values.ndim > 1:
        raise OperandError(f"a running result of {values.ndim} axes needs one of them, as axis=")
    axis = normalize_axis_index(axis or 0, values.ndim)
    running = accumulated(ufunc, values, axis)
    if not include_initial:
        return running
    first = np.empty([1 if place == axis else n for place, n in enumerate(values.shape)], running._bits.dtype)
    first[...] = as_array(constant(x.format, REDUCED_BY[ufunc][1]), x.format.width)
    return FloatArray._of(x.format, np.concatenate((first, running._bits), axis))


def _running(operation: Operation, fmt: ValueSystem, ordered: NDArray[Any], walk: Any) -> Any:
    """An operation from element to element of the first axis; `walk` is reduce, or accumulate."""
    if ordered.ndim == 1:
        encodings = to_ints(ordered)
        if walk is reduce:
            return apply_in_turn(operation, fmt, lambda call: reduce(call, encodings))
        return apply_in_turn(operation, fmt, lambda call: list(accumulate(encodings, call)))

    def along(total: NDArray[Any], row: NDArray[Any]) -> NDArray[Any]:
        result: NDArray[Any] = apply_arrays(operation, fmt, (total, row))
        return result

    return reduce(along, ordered) if walk is reduce else list(accumulate(ordered, along))


def matmul(x1: Any, x2: Any) -> Any:
    """Each element as the C loop has it: the first product, then a product and an addition in turn.

    Leading axes are stacks of matrices and broadcast (numpy.matmul).
    """
    fmt = format_of((x1, x2))
    x, y = (_matrix_bits(fmt, value) for value in (x1, x2))
    columns, rows = x.shape[-1], y.shape[0 if y.ndim == 1 else -2]
    if columns != rows:
        raise OperandError(
            f"matmul needs as many columns on the left as rows on the right, not {columns} and {rows}"
        )
    if x.ndim == y.ndim == 1:
        return _inner_product(fmt, x, y)
    left, right = (x[np.newaxis] if x.ndim == 1 else x), (y[:, np.newaxis] if y.ndim == 1 else y)
    stacked = np.broadcast_shapes(left.shape[:-2], right.shape[:-2])
    total = np.zeros((*stacked, left.shape[-2], right.shape[-1]), x.dtype)
    for k in range(columns):
        column, row = left[..., :, k, np.newaxis], right[..., np.newaxis, k, :]
        product = apply_arrays(MULTIPLICATION, fmt, (column, row))
        total = apply_arrays(ADDITION, fmt, (total, product)) if k else product
    total = total[..., 0, :] if x.ndim == 1 else total
    return fmt.value_of(total[..., 0] if y.ndim == 1 else total)


def _matrix_bits(fmt: ValueSystem, value: Any) -> NDArray[Any]:
    bits = encodings_for(fmt, value, "matmul")
    if bits.ndim == 0:
        raise OperandError(
            "matmul needs arrays with at least one axis; for a single number use multiplication"
        )
    return bits


def _inner_product(fmt: ValueSystem, x: NDArray[Any], y: NDArray[Any]) -> Any:
    products = apply_arrays(MULTIPLICATION, fmt, (x, y))
    return reduced(np.add, FloatArray._of(fmt, products), 0, False)


def dot(a: Any, b: Any) -> Any:
    """A number times an array, or the product of vectors and matrices (numpy.dot)."""
    dimensions = np.ndim(a), np.ndim(b)
    if 0 in dimensions:
        return np.multiply(a, b)
    if max(dimensions) > 2:
        raise NotEmulatedError("numpy.dot of more than two axes", "matmul")
    return matmul(a, b)


def vdot(a: Any, b: Any) -> Any:
    """The inner product of all elements (numpy.vdot)."""
    return matmul(np.ravel(a), np.ravel(b))


def inner(a: Any, b: Any) -> Any:
    """Inner products over the last axes (numpy.inner)."""
    if max(np.ndim(a), np.ndim(b)) > 2:
        raise NotEmulatedError("numpy.inner of more than two axes", "matmul")
    return dot(a, np.transpose(b))


# numpy has them from 2.1 on.
NEWER = {"cumulative_sum": cumulative_sum, "cumulative_prod": cumulative_prod}
ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    getattr(np, name): row for name, row in NEWER.items() if hasattr(np, name)
}
