"""Mean, variance and standard deviation as a plain C loop computes them.

Sums go in index order, as `reductions` has them, unlike numpy's own. The number of elements is a constant of
the program, not counted; it is rounded to the format, so more elements than a short format can count make the
mean wrong, as they would on the target.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import division, multiplication, square_root, subtraction
from softfloat_py.numbers.numpy_calls.reductions import reduced
from softfloat_py.numbers.operands import format_of


def mean(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The sum in index order, divided by the number n of elements, of all or along axes.

    Counted for each result: n - 1 additions and a division. Of no elements the mean is NaN, and the division
    an invalid operation.
    """
    return division(reduced(np.add, a, axis, keepdims), _number_of(a, axis))


_mean = mean  # the parameter of `var` has numpy's name for it


def var(
    a: Any,
    axis: Any = None,
    *,
    ddof: float = 0,
    keepdims: bool = False,
    mean: Any = None,
    correction: float | None = None,
) -> Any:
    """The mean of squared distances from the mean, with n - ddof (at least 0) in place of n as divisor.

    Two passes: first the mean, then the sum of squares in index order. Counted for each result of n elements:
    n - 1 additions, a division, n subtractions, n multiplications, n - 1 additions, a division. A `mean` that
    the program has already, with its axes kept, leaves out the first pass. `correction` is another name of
    ddof.
    """
    if ddof and correction is not None:
        raise OperandError("numpy.var needs ddof= or correction=, which are the same, not both")
    centre = _mean(a, axis, keepdims=True) if mean is None else mean
    distances = subtraction(a, centre)
    total = reduced(np.add, multiplication(distances, distances), axis, keepdims)
    return division(total, max(_number_of(a, axis) - (ddof if correction is None else correction), 0))


def std(
    a: Any,
    axis: Any = None,
    *,
    ddof: float = 0,
    keepdims: bool = False,
    mean: Any = None,
    correction: float | None = None,
) -> Any:
    """The square root of the variance `var`, and counted as that and a square_root for each result."""
    return square_root(var(a, axis, ddof=ddof, keepdims=keepdims, mean=mean, correction=correction))


def average(
    a: Any, axis: Any = None, weights: Any = None, returned: bool = False, *, keepdims: bool = False
) -> Any:
    """The sum of products with the weights, divided by the sum of the weights; `mean` without weights.

    Weights are emulated values or constants, of the shape of `a`, or one for each place along `axis`. Counted
    for each result of n elements: n multiplications, n - 1 additions, n - 1 additions of weights, a division.
    If it is `returned`, the sum of the weights comes beside the average; without weights it is n, a constant.
    """
    if weights is None:
        result = mean(a, axis, keepdims=keepdims)
        return (result, _spread_constant(result, _number_of(a, axis))) if returned else result
    fmt = format_of((a, weights))
    values, factors = (_array(fmt, value) for value in (a, weights))
    factors = _spread(factors, values.shape, axis)
    total = reduced(np.add, multiplication(values, factors), axis, keepdims)
    divisor = reduced(np.add, factors, axis, keepdims)
    result = division(total, divisor)
    return (result, divisor) if returned else result


def _spread_constant(like: Any, value: int) -> Any:
    return +np.broadcast_to(like.format(value), np.shape(like))


def _array(fmt: Any, value: Any) -> FloatArray:
    return FloatArray._of(fmt, encodings_for(fmt, value, "numpy.average"))


def _spread(weights: FloatArray, shape: tuple[int, ...], axis: Any) -> FloatArray:
    """Weights in the shape of the values."""
    if weights.shape == shape:
        return weights
    if not isinstance(axis, int) or weights.shape != (shape[axis],):
        raise OperandError(
            f"numpy.average needs weights of the values' shape {shape}, or as many as there are along a "
            f"named axis, not of shape {weights.shape} with axis={axis}"
        )
    along = [1] * len(shape)
    along[axis] = shape[axis]
    return FloatArray._of(weights.format, np.broadcast_to(weights._bits.reshape(along), shape))


def _number_of(a: Emulated, axis: Any) -> int:
    """How many elements a result is made of."""
    shape = a._bits.shape if isinstance(a, FloatArray) else ()
    axes = range(len(shape)) if axis is None else np.atleast_1d(axis)
    return int(np.prod([shape[place] for place in axes], dtype=int))
