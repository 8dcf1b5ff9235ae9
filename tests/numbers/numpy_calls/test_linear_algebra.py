"""Products of vectors and matrices, powers and traces: loops in index order."""

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
def test_inner_products_along_axes(fmt: sf.Format) -> None:
    """vecdot multiplies along an axis and adds in index order; the other axes broadcast."""
    a, b = random_values(fmt, 4, 5), random_values(fmt, 5, seed=2)

    def loop(x: Any, y: Any) -> Any:
        return in_order([p * q for p, q in zip(x, y, strict=True)])

    check_against_loop(lambda: [loop(row, b) for row in a], lambda: np.vecdot(a, b))
    check_against_loop(lambda: [loop(b, row) for row in a], lambda: np.linalg.vecdot(b, a))
    assert np.vecdot(a, a).bits.tolist() == np.vecdot(a.T, a.T, axis=0).bits.tolist()
    with pytest.raises(sf.OperandError, match=r"^numpy\.vecdot needs vectors of one length, not of 5 and 4"):
        np.vecdot(a, b[:4])


@pytest.mark.skipif(not hasattr(np, "matvec"), reason="numpy has matvec and vecmat since 2.2")
def test_products_of_stacks_with_vectors() -> None:
    """matvec and vecmat are matrix products of a row or a column, for each of a stack."""
    matrices, vectors = random_values(sf.binary32, 2, 3, 4), random_values(sf.binary32, 2, 4, seed=2)
    check_against_loop(
        lambda: [np.matmul(a, x) for a, x in zip(matrices, vectors, strict=True)],
        lambda: np.matvec(matrices, vectors),
    )
    check_against_loop(
        lambda: [np.matmul(x, a) for a, x in zip(matrices, vectors[:, :3], strict=True)],
        lambda: np.vecmat(vectors[:, :3], matrices),
    )


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_kronecker_products(fmt: sf.Format) -> None:
    """Each element of one matrix multiplies the whole other one."""
    a, b = random_values(fmt, 2, 3), random_values(fmt, 2, 2, seed=2)

    def loop() -> Any:
        return [[a[i // 2, j // 2] * b[i % 2, j % 2] for j in range(6)] for i in range(4)]

    check_against_loop(loop, lambda: np.kron(a, b))
    check_against_loop(lambda: [x * y for x in b[0] for y in a[0]], lambda: np.kron(b[0], a[0]))


@pytest.mark.parametrize("shapes", [((2, 3), (2, 2, 2)), ((3,), (2, 3)), ((2, 1, 2), (3,))])
def test_kronecker_products_are_numpy_s(shapes: Any) -> None:
    """Shapes, with axes missing on either side, are those of numpy."""
    a, b = (np.random.default_rng(1).integers(-9, 9, shape) for shape in shapes)
    result = np.kron(sf.binary32.array(a), sf.binary32.array(b))
    np.testing.assert_array_equal(np.kron(a, b), result.to_numpy())


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_products_over_several_axes(fmt: sf.Format) -> None:
    """tensordot adds the products over the named axes, the last one fastest."""
    a, b = random_values(fmt, 2, 3, 4), random_values(fmt, 4, 3, 2, seed=2)

    def element(i: int, j: int) -> Any:
        return in_order([a[i, k, m] * b[m, k, j] for k in range(3) for m in range(4)])

    check_against_loop(
        lambda: [[element(i, j) for j in range(2)] for i in range(2)],
        lambda: np.tensordot(a, b, ([1, 2], [1, 0])),
    )


@pytest.mark.parametrize("axes", [0, 1, 2, (1, 0), ([0, 1], [1, 0]), ((-1,), (-2,))])
def test_products_over_axes_are_numpy_s(axes: Any) -> None:
    """Of small whole numbers, whose sums are exact, results and shapes are the host's."""
    a, b = (np.random.default_rng(seed).integers(-5, 5, (3, 3)) for seed in (1, 2))
    expected = np.tensordot(a, b, axes)
    emulated = sf.binary32.array(a), sf.binary32.array(b)
    for result in (np.tensordot(*emulated, axes), np.linalg.tensordot(*emulated, axes=axes)):
        assert expected.shape == np.shape(result)
        assert expected.tolist() == (result.to_numpy().tolist() if expected.ndim else float(result))


def test_axes_of_different_lengths() -> None:
    """tensordot needs axes of the same lengths, and of nothing the sum is +0."""
    a, b = random_values(sf.binary32, 2, 3), random_values(sf.binary32, 2, 3)
    with pytest.raises(sf.OperandError, match=r"^numpy\.tensordot needs axes .* not \(3,\) and \(2,\)"):
        np.tensordot(a, b, 1)
    assert [[0, 0, 0]] * 2 == np.tensordot(a[:, :0], a[:0], 1).bits.tolist()
    assert (0, 2) == np.tensordot(a[:0], b, ([1], [1])).shape


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_products_of_several_matrices(fmt: sf.Format) -> None:
    """multi_dot goes from left to right, from a vector to a vector."""
    a, b, x = random_values(fmt, 3, 3), random_values(fmt, 3, 2, seed=2), random_values(fmt, 2, seed=3)
    check_against_loop(lambda: (a @ b) @ x, lambda: np.linalg.multi_dot([a, b, x]))
    check_against_loop(lambda: (a[0] @ b) @ x, lambda: np.linalg.multi_dot([a[0], b, x]))
    with pytest.raises(sf.OperandError, match=r"^numpy\.linalg\.multi_dot needs at least two arrays, not 1"):
        np.linalg.multi_dot([a])


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_powers_of_matrices(fmt: sf.Format) -> None:
    """A power squares and multiplies by the bits of the exponent; a negative one begins with the inverse."""
    a = random_values(fmt, 4, 4, seed=4)
    check_against_loop(lambda: +a, lambda: np.linalg.matrix_power(a, 1))
    check_against_loop(lambda: a @ a, lambda: np.linalg.matrix_power(a, 2))

    def sixth() -> Any:
        square = a @ a
        return square @ (square @ square)

    check_against_loop(sixth, lambda: np.linalg.matrix_power(a, 6))
    assert fmt.identity(4).bits.tolist() == np.linalg.matrix_power(a, 0).bits.tolist()
    if fmt.precision > 3:  # with less the matrix is singular

        def inverse_squared() -> Any:
            inverse = np.linalg.inv(a)
            return inverse @ inverse

        check_against_loop(inverse_squared, lambda: np.linalg.matrix_power(a, -2))


def test_the_names_of_linalg() -> None:
    """numpy.linalg's names for functions of numpy do the same, over the last two axes."""
    stack = random_values(sf.binary32, 2, 3, 3)
    a, x, y = stack[0], stack[0, 0], stack[0, 1]
    for expected, result in (
        (np.outer(x, y), np.linalg.outer(x, y)),
        (np.cross(x, y), np.linalg.cross(x, y)),
        (a @ a, np.linalg.matmul(a, a)),
        (np.trace(stack, 1, 1, 2), np.linalg.trace(stack, offset=1)),
        (np.diagonal(stack, 1, 1, 2), np.linalg.diagonal(stack, offset=1)),
        (np.swapaxes(stack, 1, 2), np.linalg.matrix_transpose(stack)),
        (np.swapaxes(stack, 1, 2), np.matrix_transpose(stack)),
    ):
        assert expected.bits.tolist() == result.bits.tolist()
