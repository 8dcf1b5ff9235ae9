"""Differences, running products, convolutions and windows: loops in index order."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from itertools import pairwise
from typing import Any

import numpy
import pytest
from numpy.lib.stride_tricks import sliding_window_view

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, in_order, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("sizes", [(7, 3), (3, 7), (4, 4), (1, 5), (6, 2)])
def test_convolutions_are_loops(fmt: sf.Format, sizes: tuple[int, int]) -> None:
    """Each place is a sum of products in the order of the first sequence, only as many as there are."""
    a, v = random_values(fmt, sizes[0]), random_values(fmt, sizes[1], seed=2)

    def place(k: int) -> Any:
        return in_order([a[j] * v[k - j] for j in range(len(a)) if 0 <= k - j < len(v)])

    shorter, longer = sorted(sizes)
    check_against_loop(lambda: [place(k) for k in range(sum(sizes) - 1)], lambda: np.convolve(a, v))
    check_against_loop(
        lambda: [place(k) for k in range(shorter - 1, longer)], lambda: np.convolve(a, v, "valid")
    )


@pytest.mark.parametrize("mode", ["full", "same", "valid"])
@pytest.mark.parametrize("sizes", [(n, m) for n in range(1, 6) for m in range(1, 6)])
def test_convolutions_of_whole_numbers_are_numpy_s(mode: Any, sizes: tuple[int, int]) -> None:
    """Of small whole numbers, whose sums are exact, every place of every mode is the host's."""
    generator = np.random.default_rng(sum(sizes))
    a, v = (generator.integers(-9, 9, size).astype(np.float32) for size in sizes)
    left, right = sf.binary32.array(a), sf.binary32.array(v)
    np.testing.assert_array_equal(np.convolve(a, v, mode), np.convolve(left, right, mode).to_numpy())
    np.testing.assert_array_equal(np.correlate(a, v, mode), np.correlate(left, right, mode).to_numpy())


def test_convolutions_take_constants_and_refuse_matrices() -> None:
    """The taps of a filter may be a list of constants; a matrix, nothing at all or a wrong mode not."""
    values = random_values(sf.binary32, 6)
    taps = [0.25, 0.5, 0.25]
    assert (
        np.convolve(values, sf.binary32.array(taps)).bits.tolist() == np.convolve(values, taps).bits.tolist()
    )
    with pytest.raises(sf.OperandError, match=r"^numpy\.convolve needs sequences of at least one element"):
        np.convolve(values.reshape(2, 3), taps)
    with pytest.raises(sf.OperandError, match=r"^numpy\.correlate needs sequences of at least one element"):
        np.correlate(values[:0], taps)
    with pytest.raises(sf.OperandError, match=r"^mode of numpy\.convolve must be one of full, same, valid"):
        np.convolve(values, taps, "circular")


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_differences(fmt: sf.Format) -> None:
    """diff subtracts the element before, as often as it is told, along an axis."""
    values = random_values(fmt, 3, 6)
    rows = [list(row) for row in values]

    def loop(row: Any) -> Any:
        return [later - earlier for earlier, later in pairwise(row)]

    check_against_loop(lambda: [loop(loop(row)) for row in rows], lambda: np.diff(values, 2))
    assert np.diff(values.T).T.bits.tolist() == np.diff(values, axis=0).bits.tolist()
    assert values.bits.tolist() == np.diff(values, 0).bits.tolist()
    with pytest.raises(sf.OperandError, match=r"^numpy\.diff needs a number of times from 0 on, not -1"):
        np.diff(values, -1)
    with pytest.raises(sf.OperandError, match=r"^numpy\.diff needs an array with at least one axis"):
        np.diff(values[0, 0])


def test_running_products() -> None:
    """cumprod delivers every product on the way; of a single axis, or of all elements along one."""
    values = random_values(sf.binary32, 3, 4) + 1
    np.testing.assert_array_equal(np.cumprod(values.to_numpy(), 1), values.cumprod(1).to_numpy())
    np.testing.assert_array_equal(np.cumprod(values.to_numpy()), np.cumprod(values).to_numpy())


@pytest.mark.parametrize("taps", [[0.25, 0.5, 0.1], (0.25, 0.5, 0.1), [1, Fraction(1, 3), 2]])
def test_taps_are_constants(taps: Any) -> None:
    """A list or a tuple of Python numbers stands for constants, on either side; a host array does not."""
    values = random_values(sf.binary16, 6)
    emulated = sf.binary16.array(taps)
    for function in (np.convolve, np.correlate):
        check_against_loop(partial(function, values, emulated), partial(function, values, taps))
        check_against_loop(partial(function, emulated, values), partial(function, taps, values))
        with pytest.raises(sf.HostFloatError, match=r"^numpy\.co.* binary16\.array\(values\)$"):
            function(values, np.array([0.25, 0.5]))


def test_windows_only_move() -> None:
    """sliding_window_view is numpy's view of the elements, at no cost; it cannot be written to."""
    host = np.arange(12, dtype=np.float32).reshape(3, 4)
    for fmt in (sf.binary32, sf.binary128):
        values = fmt.array(host)
        for arguments in ((2, 0), ((2, 3),), (3, 1)):
            with sf.counting() as tally:
                result: Any = sliding_window_view(values, *arguments)
            assert sliding_window_view(host, *arguments).tolist() == bits_as_floats(result)
            assert {} == tally.calls
        values[0, 0] = 7
        assert 7.0 == float(sliding_window_view(values, 1, 0)[0, 0, 0])
        with pytest.raises(ValueError, match="read-only"):
            sliding_window_view(values, 2, 0)[0, 0] = 1


def bits_as_floats(values: Any) -> Any:
    """Nested lists of host floats."""
    return float(values) if isinstance(values, sf.Number) else [bits_as_floats(value) for value in values]
