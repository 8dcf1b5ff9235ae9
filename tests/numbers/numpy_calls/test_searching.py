"""Searching in tables: numpy's places, counted as the comparisons of the loop."""

from __future__ import annotations

import math
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


def loop_search(table: Any, key: Any, side: str) -> int:
    """Bisection in an ascending list by C's comparisons."""
    low, high = 0, len(table)
    while low < high:
        middle = (low + high) // 2
        if key <= table[middle] if side == "left" else key < table[middle]:
            high = middle
        else:
            low = middle + 1
    return low


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("size", [0, 1, 2, 9])
def test_searching_is_a_counted_bisection(fmt: sf.Format, side: str, size: int) -> None:
    """Places, flags and comparisons are those of a bisection with Numbers; the places are numpy's."""
    table, keys = np.sort(random_values(fmt, size)), random_values(fmt, 3, 4, seed=2)
    keys[1, 1] = math.nan
    check_against_loop(
        lambda: [[loop_search(list(table), key, side) for key in row] for row in keys],
        lambda: np.searchsorted(table, keys, side),
    )
    expected = np.searchsorted(on_host(table), on_host(keys), side)
    assert expected.tolist() == table.searchsorted(keys, side).tolist()


def test_bisection_is_counted_by_hand() -> None:
    """In seven elements each key takes three comparisons, whether the table is constant or the key is."""
    table = [1, 2, 3, 4, 5, 6, 7]
    with sf.counting() as tally:
        assert 3 == np.searchsorted(table, sf.binary32(4))
        assert [7, 0] == np.searchsorted(table, sf.binary32.array([9, 0])).tolist()
        assert 4 == np.searchsorted(sf.binary32.array(table), 4, "right")
        assert 2 == np.searchsorted(sf.binary32.array([3, 1, 2]), 2.5, sorter=[1, 2, 0])
    # Seven elements: three a key, of three keys from the left and one from the right. Three elements: two.
    assert {
        ("compare_signaling_less_equal", "binary32"): 3 * 3 + 2,
        ("compare_signaling_less", "binary32"): 3,
    } == tally.calls


@pytest.mark.parametrize("right", [False, True])
@pytest.mark.parametrize("bins", [[-2, 0, 1.5, 3], [3, 1.5, 0, -2], [1.5], [2, 2]])
def test_bins_ascend_or_descend(bins: list[float], right: bool) -> None:
    """digitize gives numpy's bins in either direction, at the comparisons of the search alone."""
    values = random_values(sf.binary32, 20)
    ascending = sorted(bins)
    descends = bins != ascending
    side = "left" if right else "right"
    emulated = list(sf.binary32.array(ascending))

    def loop() -> Any:
        places = [loop_search(emulated, value, side) for value in values]
        return [len(bins) - place for place in places] if descends else places

    # Which side an edge belongs to does not change with the direction of the bins.
    check_against_loop(loop, lambda: np.digitize(values, bins, right))
    assert np.digitize(values.to_numpy(), bins, right).tolist() == np.digitize(values, bins, right).tolist()
    assert np.digitize(1.5, bins, right) == np.digitize(sf.binary32(1.5), bins, right)


def test_what_cannot_be_searched() -> None:
    """A table has one axis and a direction, a side is left or right, and a host array of floats is none."""
    x = sf.binary32(1.5)
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.searchsorted searches a sequence of numbers, not an ar"
    ):
        np.searchsorted([[1, 2]], x)
    with pytest.raises(
        sf.OperandError, match=r"^side of numpy\.searchsorted must be one of left, right, not 'up'"
    ):
        np.searchsorted([1, 2], x, "up")
    with pytest.raises(sf.OperandError, match=r"^numpy\.digitize needs bins that ascend or descend"):
        np.digitize(x, [1, 3, 2])
    with pytest.raises(sf.HostFloatError, match=r"^numpy\.searchsorted needs emulated operands"):
        np.searchsorted(np.array([1.0, 2.0]), x)
