"""Systems of equations, inverses, determinants, Cholesky's factor: loops over Numbers."""

from __future__ import annotations

from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128]
SIZES = [1, 2, 3, 5]


def zeros(fmt: sf.Format, rows: int, columns: int) -> list[list[Any]]:
    """Rows of +0."""
    return [[fmt(0)] * columns for _ in range(rows)]


def eliminate(a: list[list[Any]], b: list[list[Any]]) -> int:
    """Gaussian elimination of rows of Numbers in place; the number of exchanges."""
    n, exchanges = len(a), 0
    for k in range(n):
        pivot, largest = k, abs(a[k][k])
        for i in range(k + 1, n):
            magnitude = abs(a[i][k])
            if sf.compare_quiet_greater(magnitude, largest):
                pivot, largest = i, magnitude
        exchanges += pivot != k
        a[k], a[pivot], b[k], b[pivot] = a[pivot], a[k], b[pivot], b[k]
        assert not sf.compare_quiet_equal(a[k][k], 0)
        for i in range(k + 1, n):
            factor = a[i][k] / a[k][k]
            for j in range(k + 1, n):
                a[i][j] = a[i][j] - factor * a[k][j]
            for j in range(len(b[0])):
                b[i][j] = b[i][j] - factor * b[k][j]
    return exchanges


def solve(a: list[list[Any]], b: list[list[Any]]) -> list[list[Any]]:
    """The solution for rows of right sides."""
    eliminate(a, b)
    for column in range(len(b[0])):
        for k in range(len(a) - 1, -1, -1):
            b[k][column] = b[k][column] / a[k][k]
            for i in range(k):
                b[i][column] = b[i][column] - a[i][k] * b[k][column]
    return b


def determinant(a: list[list[Any]]) -> Any:
    """The product of the pivots with its sign."""
    exchanges = eliminate(a, [[] for _ in a])
    product = a[0][0]
    for k in range(1, len(a)):
        product = product * a[k][k]
    return -product if exchanges % 2 else product


def cholesky(a: list[list[Any]], fmt: sf.Format) -> list[list[Any]]:
    """The lower triangle, row by row."""
    n = len(a)
    lower = zeros(fmt, n, n)
    for i in range(n):
        for j in range(i + 1):
            rest = a[i][j]
            for k in range(j):
                rest = rest - lower[i][k] * lower[j][k]
            if i == j:
                assert sf.compare_quiet_greater(rest, 0)
                lower[i][i] = sf.square_root(rest)
            else:
                lower[i][j] = rest / lower[j][j]
    return lower


def matrix_of(fmt: sf.Format, n: int) -> Any:
    """A matrix that is not singular, with rows to exchange."""
    return fmt.array(np.round(np.random.default_rng(n).normal(0, 2, (n, n)), 2))


def definite_matrix(n: int) -> Any:
    """A host matrix that is positive definite, of values that binary16 has."""
    values = np.random.default_rng(n).integers(-4, 5, (n, n))
    return (values @ values.T + 8 * np.eye(n)) / 8


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("n", SIZES)
def test_solutions_are_loops(fmt: sf.Format, n: int) -> None:
    """solve eliminates with pivots and substitutes, for a vector and for several right sides."""
    a, b = matrix_of(fmt, n), random_values(fmt, n, 2, seed=3)
    check_against_loop(lambda: solve(a.tolist(), b.tolist()), lambda: np.linalg.solve(a, b))
    check_against_loop(
        lambda: [row[0] for row in solve(a.tolist(), b[:, :1].tolist())],
        lambda: np.linalg.solve(a, b[:, 0]),
    )


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("n", SIZES)
def test_inverses_and_determinants_are_loops(fmt: sf.Format, n: int) -> None:
    """inv solves with the identity; det multiplies the pivots and negates for an odd number of exchanges."""
    a = matrix_of(fmt, n)
    identity = [[fmt(int(i == j)) for j in range(n)] for i in range(n)]
    check_against_loop(lambda: solve(a.tolist(), [*map(list, identity)]), lambda: np.linalg.inv(a))
    check_against_loop(lambda: determinant(a.tolist()), lambda: np.linalg.det(a))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("n", SIZES)
def test_cholesky_is_a_loop(fmt: sf.Format, n: int) -> None:
    """Column by column or row by row: each element takes the same steps. Only one triangle is looked at."""
    values = definite_matrix(n)
    for_lower, for_upper = fmt.array(np.tril(values)), fmt.array(np.triu(values))
    check_against_loop(lambda: cholesky(for_lower.tolist(), fmt), lambda: np.linalg.cholesky(for_lower))
    lower = np.linalg.cholesky(for_lower)
    assert lower.T.bits.tolist() == np.linalg.cholesky(for_upper, upper=True).bits.tolist()


@pytest.mark.parametrize("n", SIZES)
def test_solutions_are_near_numpy_s(n: int) -> None:
    """In binary64 they are as near as the order of the steps allows."""
    values = np.random.default_rng(n).normal(size=(n, n))
    side = np.random.default_rng(n + 1).normal(size=(n, 2))
    a: Any = sf.binary64.array(values)
    for expected, result in (
        (np.linalg.solve(values, side), np.linalg.solve(a, sf.binary64.array(side))),
        (np.linalg.solve(values, side[:, 0]), np.linalg.solve(a, side[:, 0].tolist())),
        (np.linalg.inv(values), np.linalg.inv(a)),
        (np.linalg.cholesky(definite_matrix(n)), np.linalg.cholesky(sf.binary64.array(definite_matrix(n)))),
    ):
        np.testing.assert_allclose(result.to_numpy(), expected, rtol=1e-9, atol=1e-12)
    assert np.linalg.det(values) == pytest.approx(float(np.linalg.det(a)), rel=1e-12)


def test_counts_of_a_solution() -> None:
    """The counts that the docstrings state: n = 4 rows, m = 2 right sides."""
    n, m = 4, 2
    a, b = matrix_of(sf.binary32, n), random_values(sf.binary32, n, m)
    with sf.counting() as tally:
        np.linalg.solve(a, b)
    products = n * (n - 1) * (2 * n - 1) // 6 + m * n * (n - 1)
    assert {
        "division": n * (n - 1) // 2 + n * m,
        "multiplication": products,
        "subtraction": products,
        "absolute": n * (n + 1) // 2,
        "compare_quiet_greater": n * (n - 1) // 2,
        "compare_quiet_equal": n,
    } == {operation: calls for (operation, _), calls in tally.calls.items()}


def test_counts_of_cholesky() -> None:
    """The counts that the docstring states, for n = 5 rows."""
    n = 5
    with sf.counting() as tally:
        np.linalg.cholesky(sf.binary32.array(definite_matrix(n)))
    assert {
        "multiplication": n * (n - 1) * (n + 1) // 6,
        "subtraction": n * (n - 1) * (n + 1) // 6,
        "compare_quiet_greater": n,
        "square_root": n,
        "division": n * (n - 1) // 2,
    } == {operation: calls for (operation, _), calls in tally.calls.items()}


def test_singular_matrices() -> None:
    """A pivot of zero, or a matrix that is not positive definite, raises what numpy raises; det is +0."""
    host = np.array([[1, 2], [2, 4]])
    singular = sf.binary32.array(host)
    for function, operands in ((np.linalg.solve, ([1, 2],)), (np.linalg.inv, ())):
        for matrix in (host, singular):
            with pytest.raises(np.linalg.LinAlgError, match=r"^Singular matrix$"):
                function(matrix, *operands)
    assert (0, 0) == (np.linalg.det(host), np.linalg.det(singular).bits)
    # What numpy makes of a NaN on the diagonal depends on the library that it was built with.
    for matrix in (
        np.array([[1, 2], [2, 1]]),
        sf.binary32.array([[1, 2], [2, 1]]),
        sf.binary32.array([[np.nan]]),
    ):
        with pytest.raises(np.linalg.LinAlgError, match=r"^Matrix is not positive definite$"):
            np.linalg.cholesky(matrix)


def test_matrices_without_rows() -> None:
    """An empty system has an empty solution, and the determinant 1, as in numpy."""
    nothing = sf.binary32.zeros((0, 0))
    assert (0, 0) == np.linalg.inv(nothing).shape == np.linalg.cholesky(nothing).shape
    assert (0,) == np.linalg.solve(nothing, sf.binary32.zeros(0)).shape
    assert sf.binary32(1).bits == np.linalg.det(nothing).bits


def test_operands_stay_as_they_are() -> None:
    """Elimination works on copies."""
    a, b = matrix_of(sf.binary32, 3), random_values(sf.binary32, 3)
    before = a.bits.tolist(), b.bits.tolist()
    np.linalg.solve(a, b), np.linalg.det(a), np.linalg.inv(a), np.linalg.matrix_power(a, 1)
    assert before == (a.bits.tolist(), b.bits.tolist())


def test_shapes_that_are_refused() -> None:
    """Stacks, what is not square and right sides of another length say so; a host matrix is no constant."""
    a = matrix_of(sf.binary32, 3)
    for function in (np.linalg.inv, np.linalg.det, np.linalg.cholesky):
        name = function.__name__
        with pytest.raises(sf.NotEmulatedError, match=rf"^numpy\.linalg\.{name} of a stack of matrices is"):
            function(a.reshape(1, 3, 3))
        with pytest.raises(
            sf.OperandError, match=rf"^numpy\.linalg\.{name} needs a square matrix, not an array of shape \(2"
        ):
            function(a[:2])
    with pytest.raises(sf.OperandError, match=r"^numpy\.linalg\.solve needs a vector or a matrix of 3 rows"):
        np.linalg.solve(a, a[:2])
    with pytest.raises(sf.HostFloatError, match=r"^numpy\.linalg\.solve needs emulated operands"):
        np.linalg.solve(np.eye(3), a)
