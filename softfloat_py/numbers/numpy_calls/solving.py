"""Systems of linear equations, inverses, determinants and Cholesky's factor, as plain C loops compute them.

**Elimination** is Gauss's with partial pivoting, the text-book's order of loops (Golub and Van Loan, Matrix
Computations, section 3.4; from memory). For each column k of n:

1. The pivot is the first largest magnitude from row k on: n - k absolutes, n - k - 1 compare_quiet_greater.
   Its row is exchanged with row k, which is not counted. compare_quiet_equal of the pivot with zero: a
   matrix where it holds is singular.
2. For each row i below, factor = a[i][k] / a[k][k], a division, and a[i][j] -= factor × a[k][j] for each j
   behind k, and for each right side: a multiplication and a subtraction. What is zero now is not computed.

A NaN is taken for the largest magnitude only where it stands in row k, and spreads from there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.array import FloatArray, arrays_for
from softfloat_py.numbers.functions import (
    absolute,
    compare_quiet_equal,
    compare_quiet_greater,
    division,
    multiplication,
    negate,
    square_root,
    subtraction,
)
from softfloat_py.numbers.makers import eye, full
from softfloat_py.numbers.numpy_calls.reductions import reduced


def solve(a: Any, b: Any) -> FloatArray:
    """x with a @ x = b, for a vector b or each column of a matrix b, by elimination and substitution.

    After the elimination, from the last row k to the first: x[k] = b[k] / a[k][k], a division for each right
    side, and b[i] -= a[i][k] × x[k] for each row i above. Counted for n rows and m right sides: n (n - 1) / 2
    + n m divisions; n (n - 1) (2 n - 1) / 6 + m n (n - 1) multiplications and as many subtractions;
    n (n + 1) / 2 absolutes; n (n - 1) / 2 compare_quiet_greater; n compare_quiet_equal. Raises
    numpy.linalg.LinAlgError for a singular matrix, as numpy does.
    """
    matrix, sides = arrays_for("numpy.linalg.solve", a, b)
    check_square("numpy.linalg.solve", matrix)
    if sides.ndim > 2 or len(sides) != len(matrix):
        raise OperandError(
            f"numpy.linalg.solve needs a vector or a matrix of {len(matrix)} rows as right side, "
            f"not an array of shape {sides.shape}"
        )
    rows, right = matrix.copy(), sides.copy().reshape(len(sides), -1 if sides.size else 0)
    for _, singular in _eliminated(rows, right):
        if singular:
            raise np.linalg.LinAlgError("Singular matrix")
    for k in reversed(range(len(rows))):
        right[k] = division(right[k], rows[k, k])
        right[:k] = subtraction(right[:k], multiplication(rows[:k, k, np.newaxis], right[k]))
    solution: FloatArray = right.reshape(sides.shape)
    return solution


def inv(a: Any) -> FloatArray:
    """The inverse: `solve` with the identity, a constant, as right sides, counted as that, zeros and all.

    Raises numpy.linalg.LinAlgError for a singular matrix, as numpy does.
    """
    (matrix,) = arrays_for("numpy.linalg.inv", a)
    check_square("numpy.linalg.inv", matrix)
    return solve(matrix, eye(matrix.format, len(matrix), None, 0))


def det(a: Any) -> Any:
    """The determinant: the product of an elimination's pivots, in order, and its sign.

    An odd number of exchanges of rows negates it, by the operation negate.

    Counted for n rows: n (n - 1) / 2 divisions, n (n - 1) (2 n - 1) / 6 multiplications and subtractions, the
    absolutes and comparisons of the elimination, and n - 1 multiplications of pivots. +0 as soon as a pivot
    is zero, 1 for a matrix without rows; both are constants.
    """
    (matrix,) = arrays_for("numpy.linalg.det", a)
    check_square("numpy.linalg.det", matrix)
    rows, odd = matrix.copy(), False
    for exchanged, singular in _eliminated(rows, rows[:, :0]):
        if singular:
            return matrix.format(0)
        odd ^= exchanged
    pivots: Any = np.diagonal(rows)
    product = reduced(np.multiply, pivots, 0, False)
    return negate(product) if odd else product


def _eliminated(rows: FloatArray, right: FloatArray) -> Iterator[tuple[bool, bool]]:
    """Eliminate in place, column by column: whether rows were exchanged, and whether the pivot is zero.

    It is for the caller to stop at a pivot of zero.
    """
    for k in range(len(rows)):
        pivot = k + _largest(absolute(rows[k:, k]))
        for array in (rows, right):
            array._bits[[k, pivot]] = array._bits[[pivot, k]]
        yield pivot != k, compare_quiet_equal(rows[k, k], 0)
        factors = division(rows[k + 1 :, k], rows[k, k]).reshape(-1, 1)
        for array, first in ((rows, k + 1), (right, 0)):
            below = array[k + 1 :, first:]
            below[...] = subtraction(below, multiplication(factors, array[k, first:]))


def _largest(magnitudes: FloatArray) -> int:
    """The place of the first largest: a comparison for each element but the first."""
    place, (largest, *others) = 0, magnitudes
    for other, value in enumerate(others, 1):
        if compare_quiet_greater(value, largest):
            place, largest = other, value
    return place


def cholesky(a: Any, /, *, upper: bool = False) -> FloatArray:
    """The lower triangle L with L @ L.T = a, from the lower triangle of a; `upper`: L.T, from the upper one.

    For each column j: from a[i][j], i from j on, L[i][k] × L[j][k] is subtracted for each k before j, in
    order; compare_quiet_greater of the element on the diagonal with zero; its square root; each element below
    is divided by it. Counted for n rows: n (n - 1) (n + 1) / 6 multiplications and subtractions, n
    comparisons and square roots, n (n - 1) / 2 divisions. Raises numpy.linalg.LinAlgError for a matrix that
    is not positive definite, as numpy does.
    """
    (matrix,) = arrays_for("numpy.linalg.cholesky", a)
    check_square("numpy.linalg.cholesky", matrix)
    matrix = matrix.T if upper else matrix
    lower = full(matrix.format, matrix.shape, 0)
    for j in range(len(matrix)):
        column = matrix[j:, j]
        for k in range(j):
            column = subtraction(column, multiplication(lower[j:, k], lower[j, k]))
        if not compare_quiet_greater(column[0], 0):
            raise np.linalg.LinAlgError("Matrix is not positive definite")
        lower[j, j] = square_root(column[0])
        lower[j + 1 :, j] = division(column[1:], lower[j, j])
    return lower.T if upper else lower


def check_square(function: str, matrix: FloatArray) -> None:
    """Raise an error for anything but a square matrix."""
    if matrix.ndim > 2:
        raise NotEmulatedError(f"{function} of a stack of matrices", f"{function} in a loop over them")
    if matrix.ndim < 2 or matrix.shape[0] != matrix.shape[1]:
        raise OperandError(f"{function} needs a square matrix, not an array of shape {matrix.shape}")


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.linalg.solve: solve,
    np.linalg.inv: inv,
    np.linalg.det: det,
    np.linalg.cholesky: cholesky,
}
