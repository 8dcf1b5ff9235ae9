"""Covariances and correlations of variables, as plain C loops compute them in two passes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.functions import division, multiplication, square_root, subtraction
from softfloat_py.numbers.numpy_calls.elementwise import clip
from softfloat_py.numbers.numpy_calls.reductions import reduced
from softfloat_py.numbers.numpy_calls.statistics import mean
from softfloat_py.numbers.operands import format_of


def cov(m: Any, y: Any = None, rowvar: bool = True, bias: bool = False, ddof: int | None = None) -> Any:
    """The matrix of covariances of variables: a row of m and y each, or with rowvar=False a column.

    The sums of products of distances from the means, in index order, are divided by n - ddof, which is at
    least 0; ddof is 1 if it is not given, with `bias` 0. The matrix is symmetric, so a loop fills one half,
    with the diagonal, and copies it into the other. Counted for r variables of n elements: for each variable
    n - 1 additions, a division and n subtractions; for each of the r (r + 1) / 2 pairs n multiplications,
    n - 1 additions and a division.
    """
    return np.squeeze(_covariances(_variables(m, y, rowvar), int(not bias) if ddof is None else ddof))


def corrcoef(x: Any, y: Any = None, rowvar: bool = True) -> Any:
    """The matrix of Pearson's correlation coefficients of variables: a row of x and y each, or a column.

    Counted as `cov`; then a square_root for each variable; then for each of the r (r + 1) / 2 pairs two
    divisions by the roots, and maximum and minimum with -1 and 1. Of a single variable it is its variance
    divided by itself.
    """
    covariances = _covariances(_variables(x, y, rowvar), 1)
    if len(covariances) == 1:
        return division(covariances[0, 0], covariances[0, 0])
    diagonal = np.arange(len(covariances))
    deviations = square_root(covariances[diagonal, diagonal])
    first, second = np.triu_indices(len(covariances))
    quotients = division(division(covariances[first, second], deviations[first]), deviations[second])
    return _symmetric(clip(quotients, -1, 1), len(covariances))


def _variables(m: Any, y: Any, rowvar: bool) -> FloatArray:
    """A row for each variable."""
    fmt = format_of((m, y))
    rows = [_rows(encodings_for(fmt, value, "numpy.cov"), rowvar) for value in (m, y) if value is not None]
    if len({row.shape[1] for row in rows}) > 1:
        raise OperandError("numpy.cov needs as many elements of y as of the other variables")
    return FloatArray._of(fmt, np.concatenate(rows))


def _rows(bits: Any, rowvar: bool) -> Any:
    if bits.ndim > 2:
        raise OperandError(f"numpy.cov needs variables with one axis, or a matrix, not {bits.ndim} axes")
    return np.atleast_2d(bits) if rowvar or bits.ndim < 2 else bits.T


def _covariances(variables: FloatArray, ddof: int) -> FloatArray:
    count, length = variables.shape
    distances = subtraction(variables, mean(variables, 1, keepdims=True))
    first, second = np.triu_indices(count)
    sums = reduced(np.add, multiplication(distances[first], distances[second]), 1, False)
    return _symmetric(division(sums, max(length - ddof, 0)), count)


def _symmetric(half: FloatArray, size: int) -> FloatArray:
    """The matrix whose upper half, with the diagonal, stands in rows one after the other."""
    first, second = np.triu_indices(size)
    bits = np.empty((size, size), half._bits.dtype)
    bits[first, second] = bits[second, first] = half._bits
    return FloatArray._of(half.format, bits)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {np.cov: cov, np.corrcoef: corrcoef}
