"""Sorting and finding extremes: numpy's results, counted as the comparisons of a merge sort and of a loop."""

from __future__ import annotations

import math
from typing import Any

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

import softfloat_py as sf
from tests import strategies
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


def loop_merge_sort(values: list[Any]) -> list[Any]:
    """A stable merge sort of Numbers, NaNs last, in runs that double."""
    nans = [bool(sf.is_nan(value)) for value in values]
    numbers = [value for value, nan in zip(values, nans, strict=True) if not nan]
    length = 1
    while length < len(numbers):
        merged: list[Any] = []
        for start in range(0, len(numbers), 2 * length):
            left, right = numbers[start : start + length], numbers[start + length : start + 2 * length]
            while left and right:
                merged.append((right if sf.compare_quiet_less(right[0], left[0]) else left).pop(0))
            merged += left + right
        numbers, length = merged, 2 * length
    return numbers + [value for value, nan in zip(values, nans, strict=True) if nan]


def loop_argmax(values: list[Any], beyond: Any) -> int:
    """The first place of the largest, or smallest, Number; a NaN ends the search."""
    best = 0
    if sf.is_nan(values[0]):
        return 0
    for place in range(1, len(values)):
        if beyond(values[place], values[best]):
            best = place
            if sf.is_nan(values[place]):
                break
    return best


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("size", [1, 2, 3, 50, 200])
def test_sorting_is_a_counted_merge_sort(fmt: sf.Format, size: int) -> None:
    """The order, the flags and every comparison are those of a merge sort of Numbers."""
    values = random_values(fmt, size)
    if size > 3:
        values[size // 2] = math.nan
    numbers = list(values)
    check_against_loop(lambda: loop_merge_sort(numbers), lambda: np.sort(values))
    assert values[values.argsort()].bits.tolist() == np.sort(values).bits.tolist()


@given(st.lists(strategies.encodings(sf.binary32), max_size=40))
def test_sorting_is_numpy_s(bits: list[int]) -> None:
    """The order is that of numpy's stable sort of the host's binary32, for all values, NaNs last."""
    values: Any = sf.binary32.array_from_bits(np.array(bits, np.uint32))
    with np.errstate(all="ignore"):
        expected = np.argsort(values.to_numpy(), kind="stable")
    assert expected.tolist() == values.argsort().tolist()
    if bits:
        assert np.argmax(values.to_numpy()) == values.argmax()
        assert np.argmin(values.to_numpy()) == values.argmin()


@pytest.mark.parametrize("axis", [0, 1, -1, None])
def test_sorting_along_axes(axis: Any) -> None:
    """Along an axis each line of elements is sorted by itself; without one, all elements are."""
    values = random_values(sf.binary32, 4, 3, 2)
    host = values.to_numpy()
    np.testing.assert_array_equal(
        np.argsort(host, axis, kind="stable"), np.argsort(values, axis, kind="stable")
    )
    np.testing.assert_array_equal(np.sort(host, axis), np.sort(values, axis).to_numpy())
    np.testing.assert_array_equal(np.argmax(host, axis), np.argmax(values, axis))
    np.testing.assert_array_equal(
        np.argmin(host, axis, keepdims=True), np.argmin(values, axis, keepdims=True)
    )


def test_sorting_in_place() -> None:
    """The method changes the array itself, and what shares its memory; empty arrays stay empty."""
    values = sf.binary32.array([3, 1, 2])
    view = values[:2]
    values.sort()
    assert ["1.0", "2.0"] == [str(number) for number in view]
    assert (0, 3) == np.sort(sf.binary32.array(np.zeros((0, 3)))).shape
    assert (3, 0) == np.argsort(sf.binary32.array(np.zeros((3, 0)))).shape


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("nan", [None, 0, 4])
def test_extremes_are_found_by_counted_comparisons(fmt: sf.Format, nan: int | None) -> None:
    """argmax and argmin compare as a loop does, which a NaN ends."""
    values = random_values(fmt, 9)
    if nan is not None:
        values[nan] = math.nan
    numbers = list(values)
    check_against_loop(
        lambda: loop_argmax(numbers, sf.compare_quiet_greater_unordered), lambda: np.argmax(values)
    )
    check_against_loop(lambda: loop_argmax(numbers, sf.compare_quiet_less_unordered), values.argmin)


@pytest.mark.parametrize("kth", [0, 7, -1, [2, 5]])
def test_partitions_are_sorts(kth: Any) -> None:
    """The elements at the places named are numpy's, and the counts those of a sort."""
    values = random_values(sf.binary32, 3, 8)
    places = np.ravel(kth)
    expected = np.partition(values.to_numpy(), kth)[:, places]
    check_against_loop(lambda: np.sort(values), lambda: np.partition(values, kth))
    check_against_loop(lambda: np.argsort(values, 0), lambda: np.argpartition(values, 1, 0))
    np.testing.assert_array_equal(expected, np.partition(values, kth)[:, places].to_numpy())
    order = values[0].argpartition(kth)
    assert np.sort(values[0])[places].bits.tolist() == values[0][order][places].bits.tolist()
    values.partition(kth)
    np.testing.assert_array_equal(expected, values[:, places].to_numpy())
    with pytest.raises(sf.OperandError, match=r"^numpy\.partition needs places among 8 elements, not 8$"):
        np.partition(values, 8)
    with pytest.raises(sf.NotEmulatedError, match=r"^kind='heap' of numpy\.argpartition is not emulated"):
        np.argpartition(values, 1, kind="heap")


def test_order_needs_elements_and_axes() -> None:
    """There is no largest element of none, no axis of a Number, and no other algorithm."""
    with pytest.raises(sf.OperandError, match=r"^numpy\.argmax needs at least one element"):
        sf.binary32.array([]).argmax()
    with pytest.raises(sf.OperandError, match=r"^numpy\.sort along an axis needs an array with one"):
        np.sort(sf.binary32(1.5))
    with pytest.raises(sf.NotEmulatedError, match=r"^kind='heapsort' of numpy\.argsort is not emulated"):
        np.argsort(sf.binary32.array([1.5]), kind="heapsort")
