"""Medians, quantiles and ranges: numpy's values, counted as a sort and what lies between two elements."""

from __future__ import annotations

import math
from functools import partial
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from softfloat_py.numbers.numpy_calls.quantiles import CONTINUOUS, FROM_END_TO_END
from tests.numbers.loops import check_against_loop, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


def loop_median(values: Any) -> Any:
    """The middle of sorted Numbers."""
    ordered, half = list(np.sort(values)), len(values) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def loop_quantile(values: Any, share: float) -> Any:
    """The usual definition: the place (n - 1) × share, and what lies there between two Numbers."""
    ordered = list(np.sort(values))
    place = (len(ordered) - 1) * share
    below, distance = math.floor(place), place % 1
    if distance == 0:
        return ordered[below]
    step = ordered[below + 1] - ordered[below]
    if distance < 0.5:
        return ordered[below] + step * distance
    return ordered[below + 1] - step * (1 - distance)


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("size", [1, 2, 7, 20])
def test_quantiles_are_loops_of_numbers(fmt: sf.Format, size: int) -> None:
    """Medians and quantiles have the bits, flags and counts of a sort and the arithmetic after it."""
    values = random_values(fmt, size)
    check_against_loop(lambda: loop_median(values), lambda: np.median(values))
    for share in (0, 0.25, 0.3, 0.5, 0.9, 1):
        check_against_loop(partial(loop_quantile, values, share), partial(np.quantile, values, share))
    check_against_loop(lambda: loop_quantile(values, 0.125), lambda: np.percentile(values, 12.5))


@pytest.mark.parametrize("method", [*CONTINUOUS, *FROM_END_TO_END])
@pytest.mark.parametrize("axis", [None, 0, -1, (0, 2)])
def test_quantiles_are_numpy_s(method: str, axis: Any) -> None:
    """Every method gives numpy's doubles, of one share or of several, along axes, kept or not."""
    host = np.random.default_rng(7).normal(size=(3, 4, 5))
    values: Any = sf.binary64.array(host)
    for q in (0.3, [0, 0.25, 0.77, 1], [[0.2, 0.4]]):
        expected = np.quantile(host, q, axis, method=method, keepdims=True)
        np.testing.assert_array_equal(
            expected, np.quantile(values, q, axis, method=method, keepdims=True).to_numpy()
        )
    percentiles = np.percentile(values, [10, 99], axis, method=method).to_numpy()
    np.testing.assert_array_equal(np.percentile(host, [10, 99], axis, method=method), percentiles)


@pytest.mark.parametrize("axis", [0, 1, -1, (0, 1)])
@pytest.mark.parametrize("keepdims", [False, True])
def test_medians_and_ranges_are_numpy_s(axis: Any, keepdims: bool) -> None:
    """Along axes medians and ranges are the host's; a NaN makes a median one, and nanmedian leaves it out."""
    values = random_values(sf.binary32, 4, 5, 3)
    values[1, 2, 0] = math.nan
    values[:, :, 1] = math.nan
    host = on_host(values)
    for function in (np.median, np.ptp):
        with np.errstate(all="ignore"):
            expected = function(host, axis, keepdims=keepdims)
        np.testing.assert_array_equal(
            expected.astype(np.float32), function(values, axis, keepdims=keepdims).to_numpy()
        )
    numbers = [0, 2]  # numpy warns of lines of nothing but NaNs
    expected = np.nanmedian(host[..., numbers], axis, keepdims=keepdims)
    result = np.nanmedian(values[..., numbers], axis, keepdims=keepdims)
    np.testing.assert_array_equal(expected.astype(np.float32), result.to_numpy())
    assert "nan" == str(np.nanmedian(values[:, :, 1]))


def test_quantiles_are_counted_by_hand() -> None:
    """Four numbers in order take four comparisons to sort; then one sum, one quotient for the middle."""
    values = sf.binary32.array([1, 2, 3, 4])
    sorting = {
        ("is_nan", "binary32"): 4,
        # Runs of one: 2 with 1, and 4 with 3. Runs of two: 3 with 1, and with 2; then one is at its end.
        ("compare_quiet_less", "binary32"): 4,
    }
    with sf.counting() as tally:
        assert "2.5" == str(np.median(values))
    assert {**sorting, ("addition", "binary32"): 1, ("division", "binary32"): 1} == tally.calls
    with sf.counting() as tally:
        # The places are 0.75 and 1.5 of the way from 0 to 3, and 3 itself.
        assert ["1.75", "2.5", "4.0"] == list(map(str, np.quantile(values, [0.25, 0.5, 1])))
    between = dict.fromkeys([("subtraction", "binary32"), ("multiplication", "binary32")], 2)
    # From the middle on it is the upper element less a product, which is a subtraction too.
    between["subtraction", "binary32"] += 2
    assert {**sorting, **between} == tally.calls
    with sf.counting() as tally:
        assert "3.0" == str(np.ptp(values))
    extremes = dict.fromkeys([("maximum", "binary32"), ("minimum", "binary32")], 3)
    assert {**extremes, ("subtraction", "binary32"): 1} == tally.calls


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_nans_cost_the_sort_alone(fmt: sf.Format) -> None:
    """With a NaN the median is one after the sort; left out, the others are counted as a sort of them is."""
    values = random_values(fmt, 8)
    values[3] = math.nan
    with sf.counting() as sorting:
        ordered = np.sort(values)
    with sf.counting() as tally:
        assert "nan" == str(np.median(values))
    assert sorting.calls == tally.calls
    check_against_loop(lambda: list(np.sort(values))[3], lambda: np.nanmedian(values))
    assert ordered[3].bits == np.nanmedian(values).bits


def test_shares_are_constants_of_the_program() -> None:
    """A share that is computed, out of range, or a method of steps is refused."""
    values = sf.binary32.array([1, 2, 3])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.quantile needs q as constants from 0 to 1, .*binary32"
    ):
        np.quantile(values, sf.binary32(0.5))
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.percentile needs q as constants from 0 to 100, .* 101$"
    ):
        np.percentile(values, [50, 101])
    with pytest.raises(
        sf.NotEmulatedError, match=r"^method='inverted_cdf' of numpy\.quantile is not emulated"
    ):
        np.quantile(values, 0.5, method="inverted_cdf")
    assert "nan" == str(np.median(values[:0]))
