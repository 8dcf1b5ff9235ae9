"""Unique elements and membership: numpy's results, counted as the comparisons of a sort and of loops."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("size", [0, 1, 12])
def test_unique_elements_are_those_of_a_sort(fmt: sf.Format, size: int) -> None:
    """Beside the sort there is one comparison for each element that is no NaN, but the first."""
    values = random_values(fmt, size)
    if size > 1:
        values[[3, 8]] = math.nan

    def loop() -> Any:
        ordered = list(np.sort(values))
        numbers = ordered[: size - 2] if size > 1 else ordered
        kept = numbers[:1] + [later for earlier, later in pairwise(numbers) if earlier != later]
        return kept + ordered[len(numbers) :][:1]

    check_against_loop(loop, lambda: np.unique(values))


@pytest.mark.parametrize("equal_nan", [True, False])
@pytest.mark.parametrize("shape", [(), (1,), (0,), (3, 5)])
def test_places_and_counts_of_unique_elements(shape: tuple[int, ...], equal_nan: bool) -> None:
    """Elements, first places, places among the results and counts are numpy's."""
    values: Any = random_values(sf.binary32, *shape) if shape else sf.binary32(1.5)
    if np.size(values) > 1:
        values[0, 3] = values[2, 2] = math.nan
    host = on_host(values) if shape else 1.5
    keywords = {"return_index": True, "return_inverse": True, "return_counts": True, "equal_nan": equal_nan}
    elements, *places = np.unique(values, **keywords)
    expected, *expected_places = np.unique(host, **keywords)
    np.testing.assert_array_equal(expected, on_host(elements))
    for ours, numpys in zip(places, expected_places, strict=True):
        assert numpys.shape == ours.shape
        assert numpys.tolist() == ours.tolist()


def test_unique_is_counted_by_hand() -> None:
    """Of three numbers and a NaN: four times is_nan, a merge sort of three, and two comparisons."""
    with sf.counting() as tally:
        result = np.unique(sf.binary32.array([2, math.nan, 1, 2]))
    assert ["1.0", "2.0", "nan"] == list(map(str, result))
    assert {
        ("is_nan", "binary32"): 4,
        # Runs of one: 1 with 2; the last 2 has no partner. Then that 2 with 1, and with the other 2.
        ("compare_quiet_less", "binary32"): 3,
        ("compare_quiet_not_equal", "binary32"): 2,
    } == tally.calls


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_looking_for_elements_ends_at_the_first(fmt: sf.Format) -> None:
    """isin compares with one after the other until one is equal."""
    values, others = random_values(fmt, 4, 5), [1.5, 0, 1.5, -3]
    values[0, 0] = math.nan

    def loop(value: Any) -> bool:
        return any(value == fmt(other) for other in others)

    check_against_loop(
        lambda: [[loop(value) for value in row] for row in values], lambda: np.isin(values, others)
    )
    host = on_host(values)
    assert np.isin(host, others, invert=True).tolist() == np.isin(values, others, invert=True).tolist()
    assert np.isin(fmt(1.5), others)
