"""Norms, traces, outer and cross products: loops in index order."""

from __future__ import annotations

from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, in_order, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e5m2]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_outer_products_and_traces(fmt: sf.Format) -> None:
    """outer multiplies each with each; trace adds along a diagonal."""
    a, b = random_values(fmt, 5), random_values(fmt, 3, seed=2)
    check_against_loop(lambda: [[x * y for y in b] for x in a], lambda: np.outer(a, b))
    matrix = random_values(fmt, 4, 6)
    check_against_loop(
        lambda: in_order([matrix[place, place + 1] for place in range(4)]), lambda: matrix.trace(1)
    )
    assert (6, 2) == np.outer(random_values(fmt, 2, 3), [1, 2]).shape


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_cross_products(fmt: sf.Format) -> None:
    """Each element is a difference of two products; axes before the last are stacks, which broadcast."""
    a, b = random_values(fmt, 4, 3), random_values(fmt, 3, seed=2)

    def loop(x: Any, y: Any) -> list[Any]:
        return [x[i] * y[j] - x[j] * y[i] for i, j in ((1, 2), (2, 0), (0, 1))]

    check_against_loop(lambda: [loop(list(row), list(b)) for row in a], lambda: np.cross(a, b))
    assert np.cross(a.T, a.T[::-1], axis=0).bits.tolist() == np.cross(a, a[:, ::-1]).T.bits.tolist()
    with pytest.raises(sf.OperandError, match=r"^numpy\.cross needs vectors of three elements, not of 2"):
        np.cross(a[:, :2], b)


def test_cross_products_are_numpy_s() -> None:
    """In binary32 the bits are the host's."""
    a, b = random_values(sf.binary32, 5, 3), random_values(sf.binary32, 5, 3, seed=2)
    np.testing.assert_array_equal(np.cross(a.to_numpy(), b.to_numpy()), np.cross(a, b).to_numpy())


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_norms_of_vectors(fmt: sf.Format) -> None:
    """The Euclidean norm is a root of a sum of squares, the others a sum and a maximum of magnitudes."""
    vector = random_values(fmt, 7)
    numbers = list(vector)

    def largest() -> Any:
        result, *others = map(abs, numbers)
        for other in others:
            result = sf.maximum(result, other)
        return result

    def euclidean() -> Any:
        return sf.square_root(in_order([x * x for x in numbers]))

    check_against_loop(euclidean, lambda: np.linalg.norm(vector))
    check_against_loop(euclidean, lambda: np.linalg.norm(vector, 2))
    check_against_loop(lambda: in_order([abs(x) for x in numbers]), lambda: np.linalg.norm(vector, 1))
    check_against_loop(largest, lambda: np.linalg.norm(vector, np.inf))


@pytest.mark.parametrize("ord", [None, "fro", 1, np.inf])
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
    expected = np.linalg.norm(host, None if ord == "fro" else ord, 1, keepdims=keepdims)
    result = np.linalg.norm(values, None if ord == "fro" else ord, 1, keepdims=keepdims)
    np.testing.assert_array_equal(expected, result.to_numpy())
    assert np.linalg.norm(host[0], ord) == float(np.linalg.norm(values[0], ord))


def test_other_norms_are_refused() -> None:
    """Singular values and other powers are not emulated; a norm has one axis or two."""
    matrix = random_values(sf.binary32, 3, 4)
    for ord, values in ((2, matrix), ("nuc", matrix), (3, matrix[0]), (0, matrix[0]), ("fro", matrix[0])):
        with pytest.raises(sf.NotEmulatedError, match=r"^numpy\.linalg\.norm with ord="):
            np.linalg.norm(values, ord)
    with pytest.raises(sf.OperandError, match=r"^numpy\.linalg\.norm needs a vector or a matrix, not 3 axes"):
        np.linalg.norm(matrix.reshape(1, 3, 4), 1)
