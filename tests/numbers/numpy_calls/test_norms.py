"""Norms of vectors and matrices: loops in index order."""

from __future__ import annotations

from functools import reduce
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, in_order, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e5m2]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_norms_of_vectors(fmt: sf.Format) -> None:
    """The Euclidean norm is a root of a sum of squares, the others a sum and a maximum of magnitudes."""
    vector = random_values(fmt, 7)
    numbers = list(vector)

    def extreme(choose: Any) -> Any:
        return reduce(choose, map(abs, numbers))

    def euclidean() -> Any:
        return sf.square_root(in_order([x * x for x in numbers]))

    check_against_loop(euclidean, lambda: np.linalg.norm(vector))
    check_against_loop(euclidean, lambda: np.linalg.norm(vector, 2))
    check_against_loop(lambda: in_order([abs(x) for x in numbers]), lambda: np.linalg.norm(vector, 1))
    check_against_loop(lambda: extreme(sf.maximum), lambda: np.linalg.norm(vector, np.inf))
    check_against_loop(lambda: extreme(sf.minimum), lambda: np.linalg.norm(vector, -np.inf))


@pytest.mark.parametrize("ord", [None, "fro", 1, -1, np.inf, -np.inf])
@pytest.mark.parametrize("keepdims", [False, True])
def test_norms_of_matrices_are_numpy_s(ord: Any, keepdims: bool) -> None:
    """Of small whole numbers, whose sums are exact, norms and their shapes are the host's."""
    host = np.random.default_rng(1).integers(-9, 9, (3, 4, 2)).astype(np.float32)
    values: Any = sf.binary32.array(host)
    for axis in ((0, 1), (1, 0), (2, -3), (-1, 0)):
        expected = np.linalg.norm(host, ord, axis, keepdims=keepdims)
        np.testing.assert_array_equal(
            expected, np.linalg.norm(values, ord, axis, keepdims=keepdims).to_numpy()
        )
    of_vectors = None if ord in ("fro", -1) else ord
    expected = np.linalg.norm(host, of_vectors, 1, keepdims=keepdims)
    result = np.linalg.norm(values, of_vectors, 1, keepdims=keepdims)
    np.testing.assert_array_equal(expected, result.to_numpy())
    assert np.linalg.norm(host[0], ord) == float(np.linalg.norm(values[0], ord))


def test_other_norms_are_refused() -> None:
    """Singular values and other powers are not emulated; a norm has one axis or two."""
    matrix = random_values(sf.binary32, 3, 4)
    for ord, values in (
        (2, matrix),
        ("nuc", matrix),
        (3, matrix[0]),
        (0, matrix[0]),
        (-1, matrix[0]),
        ("fro", matrix[0]),
    ):
        with pytest.raises(sf.NotEmulatedError, match=r"^numpy\.linalg\.norm with ord="):
            np.linalg.norm(values, ord)
    with pytest.raises(sf.OperandError, match=r"^numpy\.linalg\.norm needs a vector or a matrix, not 3 axes"):
        np.linalg.norm(matrix.reshape(1, 3, 4), 1)


def test_the_norms_of_linalg() -> None:
    """vector_norm takes all elements as one vector, or one axis; matrix_norm the last two axes."""
    host = np.random.default_rng(1).integers(-9, 9, (3, 4, 2)).astype(np.float32)
    values: Any = sf.binary32.array(host)
    assert np.linalg.vector_norm(host) == float(np.linalg.vector_norm(values))
    for expected, result in (
        (np.linalg.vector_norm(host, axis=1, ord=1), np.linalg.vector_norm(values, axis=1, ord=1)),
        (
            np.linalg.vector_norm(host, axis=1, keepdims=True),
            np.linalg.vector_norm(values, axis=1, keepdims=True),
        ),
        (np.linalg.matrix_norm(host, ord=-1), np.linalg.matrix_norm(values, ord=-1)),
        (np.linalg.matrix_norm(host, keepdims=True), np.linalg.matrix_norm(values, keepdims=True)),
    ):
        np.testing.assert_array_equal(expected, result.to_numpy())
    with pytest.raises(sf.NotEmulatedError, match=r"^numpy\.linalg\.vector_norm along several axes is not"):
        np.linalg.vector_norm(values, axis=(0, 1))
