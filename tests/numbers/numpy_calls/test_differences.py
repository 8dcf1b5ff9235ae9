"""Differences, areas and phases: numpy's results, counted as loops."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, in_order, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


def loop_areas(values: Any, distances: Any) -> Any:
    """The running sum of trapezia of Numbers."""
    pairs = zip(pairwise(values), distances, strict=True)
    return in_order([d * (later + earlier) / 2 for (earlier, later), d in pairs])


def loop_unwrap(phases: Any, period: Any, discont: Any) -> list[Any]:
    """Phases from which jumps are taken as they are met; period is a constant."""
    total = phases[0].format(0)
    unwrapped = [phases[0]]
    for earlier, later in pairwise(phases):
        difference = later - earlier
        if not abs(difference) < discont:
            within = np.remainder(difference - -period / 2, period) + -period / 2
            if within == -period / 2 and difference > 0:
                within = later.format(period / 2)
            total = total + (within - difference)
        unwrapped.append(later + total)
    return unwrapped


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("size", [2, 9, 200])
def test_areas_are_loops_of_numbers(fmt: sf.Format, size: int) -> None:
    """Areas have the bits, flags and counts of a running sum, of even distances and of coordinates."""
    values, places = random_values(fmt, size), np.sort(random_values(fmt, size, seed=2))
    check_against_loop(lambda: loop_areas(values, [0.75] * (size - 1)), lambda: np.trapezoid(values, dx=0.75))
    check_against_loop(
        lambda: loop_areas(values, [later - earlier for earlier, later in pairwise(places)]),
        lambda: np.trapezoid(values, places),
    )


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_phases_are_loops_of_numbers(fmt: sf.Format) -> None:
    """Jumps are found, brought within half a period and added up as the loop does, line by line."""
    values = random_values(fmt, 3, 12)
    values[1, 4] = math.nan
    check_against_loop(
        lambda: [loop_unwrap(row, 3, 1.5) for row in values], lambda: np.unwrap(values, period=3)
    )
    check_against_loop(lambda: loop_unwrap(values[0], 3, 2), lambda: np.unwrap(values[0], 2, period=3))


@pytest.mark.parametrize("axis", [0, 1, -1])
def test_areas_and_phases_are_numpy_s(axis: int) -> None:
    """In binary64, of few samples, they are numpy's to the last bit, along any axis, with Numbers as well."""
    values = 8 * random_values(sf.binary64, 4, 5)
    host, period = on_host(values), sf.binary64(5)
    places = np.sort(random_values(sf.binary64, 4, 5, seed=3), axis)
    steps = np.array([0, 1, 1.5, 4, 7])[: values.shape[axis]]
    cases = {
        "phases": (np.unwrap(host, axis=axis), np.unwrap(values, axis=axis)),
        "period": (np.unwrap(host, 3, axis, period=5), np.unwrap(values, 3, axis, period=period)),
        "even": (np.trapezoid(host, axis=axis), np.trapezoid(values, axis=axis)),
        "dx": (np.trapezoid(host, dx=5, axis=axis), np.trapezoid(values, dx=period, axis=axis)),
        "x": (np.trapezoid(host, steps, axis=axis), np.trapezoid(values, steps.tolist(), axis=axis)),
        "each": (np.trapezoid(host, on_host(places), axis=axis), np.trapezoid(values, places, axis=axis)),
    }
    for name, (expected, result) in cases.items():
        np.testing.assert_array_equal(expected, result.to_numpy(), name)


def test_differences_of_all_elements() -> None:
    """ediff1d gives numpy's elements between those in front and behind, which cost nothing."""
    values = random_values(sf.binary32, 2, 3)
    with sf.counting() as tally:
        result = np.ediff1d(values, to_end=9, to_begin=sf.binary32.array([1, 2]))
    np.testing.assert_array_equal(np.ediff1d(values.to_numpy(), 9, [1, 2]), result.to_numpy())
    assert {("subtraction", "binary32"): 5} == tally.calls
    assert (0,) == np.ediff1d(values[0, :1]).shape


def test_areas_and_phases_are_counted_by_hand() -> None:
    """Four samples have three trapezia; of three differences one jumps down, and one by half a period."""
    with sf.counting() as tally:
        assert "7.5" == str(np.trapezoid(sf.binary32.array([1, 2, 3, 4])))
    assert {("addition", "binary32"): 3 + 2, ("division", "binary32"): 3} == tally.calls
    with sf.counting() as tally:
        assert "3.75" == str(np.trapezoid(sf.binary32.array([1, 2, 3, 4]), dx=0.5))
    assert 3 == tally.calls["multiplication", "binary32"]
    with sf.counting() as tally:
        result = np.unwrap(sf.binary32.array([3, 3.5, 0, 2]), period=4)
    assert ["3.0", "3.5", "4.0", "6.0"] == list(map(str, result))
    # Differences 0.5, -3.5 and 2. Moved up by half a period the jumps are -1.5, of which the remainder makes
    # 2.5, and 4, of which it makes 0, so minus half a period, which is turned into plus half a period.
    assert {
        "subtraction": 3 + 2 + 2,  # differences; jumps moved; corrections
        "absolute": 3,
        "compare_signaling_less": 3,
        "compare_quiet_equal": 2,
        "compare_signaling_greater": 1,
        "addition": 2 + 1 + 2 + 3,  # jumps moved back; one remainder; running sum; phases
    } == {
        name: calls
        for (name, _), calls in tally.calls.items()
        if name not in ("remainder_truncated", "compare_quiet_not_equal", "compare_quiet_less", "copy_sign")
    }


def test_areas_and_phases_need_distances() -> None:
    """Coordinates belong to samples, and a period or a distance is no zero and no text."""
    values = sf.binary32.array([[1, 2, 3]])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.trapezoid needs a coordinate for each of 3 samples, or"
    ):
        np.trapezoid(values, [1, 2])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.trapezoid needs a Number or a finite constant that is"
    ):
        np.trapezoid(values, dx=[1, 2])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.unwrap needs a Number or a finite constant that is no"
    ):
        np.unwrap(values, period=0)
