"""Covariances and correlations: numpy's matrices, counted as one half of them."""

from __future__ import annotations

from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, in_order, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128]


def loop_cov(variables: Any, ddof: int = 1) -> Any:
    """The matrix by loops over Numbers, of which the second begins on the diagonal."""
    length, distances = len(variables[0]), []
    for variable in variables:
        mean = in_order(variable) / length
        distances.append([value - mean for value in variable])
    matrix = [[None] * len(variables) for _ in variables]
    for i in range(len(variables)):
        for j in range(i, len(variables)):
            products = [x * y for x, y in zip(distances[i], distances[j], strict=True)]
            matrix[i][j] = matrix[j][i] = in_order(products) / max(length - ddof, 0)
    return matrix


def loop_corrcoef(variables: Any) -> Any:
    """Covariances divided by both deviations and kept between -1 and 1."""
    matrix = loop_cov(variables)
    deviations = [sf.square_root(matrix[i][i]) for i in range(len(matrix))]
    for i in range(len(matrix)):
        for j in range(i, len(matrix)):
            quotient = matrix[i][j] / deviations[i] / deviations[j]
            matrix[i][j] = matrix[j][i] = sf.minimum(sf.maximum(quotient, -1), 1)
    return matrix


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("shape", [(2, 1), (2, 5), (3, 60)])
def test_covariances_are_loops_of_numbers(fmt: sf.Format, shape: tuple[int, int]) -> None:
    """Matrices, flags and counts are those of the loops."""
    values = random_values(fmt, *shape)
    rows = [list(row) for row in values]
    check_against_loop(lambda: loop_cov(rows), lambda: np.cov(values))
    check_against_loop(lambda: loop_cov(rows, 2), lambda: np.cov(values.T, rowvar=False, ddof=2))
    check_against_loop(lambda: loop_corrcoef(rows), lambda: np.corrcoef(values))


def test_covariances_are_numpy_s() -> None:
    """Of rows, of columns, of two sets of variables and of one alone, they are numpy's but for rounding."""
    values = random_values(sf.binary64, 3, 20)
    host = on_host(values)
    for function in (np.cov, np.corrcoef):
        np.testing.assert_allclose(function(host), function(values).to_numpy(), rtol=1e-12)
        np.testing.assert_allclose(
            function(host[0], host[1]), function(values[0], values[1]).to_numpy(), rtol=1e-12
        )
        np.testing.assert_allclose(
            function(host, host[:2] ** 2, rowvar=True),
            function(values, np.square(values[:2])).to_numpy(),
            rtol=1e-12,
        )
        np.testing.assert_allclose(function(host[0]), float(function(values[0])), rtol=1e-12)
    np.testing.assert_allclose(np.cov(host, bias=True), np.cov(values, bias=True).to_numpy(), rtol=1e-12)


def test_covariances_are_counted_by_hand() -> None:
    """Two variables of three elements have two means and three pairs, and with deviations two roots."""
    values = sf.binary32.array([[1, 2, 4], [3, 1, 2]])
    with sf.counting() as tally:
        np.cov(values)
    covariances = {
        ("addition", "binary32"): 2 * 2 + 3 * 2,
        ("division", "binary32"): 2 + 3,
        ("subtraction", "binary32"): 2 * 3,
        ("multiplication", "binary32"): 3 * 3,
    }
    assert covariances == tally.calls
    with sf.counting() as tally:
        np.corrcoef(values)
    beside = {("square_root", "binary32"): 2, ("maximum", "binary32"): 3, ("minimum", "binary32"): 3}
    assert {**covariances, **beside, ("division", "binary32"): 5 + 2 * 3} == tally.calls


def test_variables_that_are_none() -> None:
    """Variables have a matrix at the most, and equally many elements; weights are refused."""
    values = random_values(sf.binary32, 2, 3, 4)
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.cov needs variables with one axis, or a matrix, not 3 axes"
    ):
        np.cov(values)
    with pytest.raises(sf.OperandError, match=r"^numpy\.cov needs as many elements of y as of the other var"):
        np.cov(values[0], values[0, 0, :2])
    with pytest.raises(sf.NotEmulatedError, match=r"^aweights= of numpy\.cov is not emulated"):
        np.cov(values[0], aweights=[1, 2, 3, 4])
