"""Histograms: numpy's numbers of samples, counted as the loop that finds a bin for each."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import bits_of, check_against_loop, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128]


def loop_even(samples: Any, edges: Any, scale: Any) -> list[int]:
    """The place of a bin by a product, corrected by comparisons, as in C."""
    counts = [0] * (len(edges) - 1)
    for x in samples:
        if x >= edges[0] and x <= edges[-1]:
            product = (x - edges[0]) * scale
            place = min(sf.convert_to_integer(product, rounding=sf.Rounding.TOWARD_ZERO), len(counts) - 1)
            if x < edges[place]:
                place -= 1
            elif place < len(counts) - 1 and x >= edges[place + 1]:
                place += 1
            counts[place] += 1
    return counts


def loop_between(samples: Any, edges: Any) -> list[int]:
    """A search among edges for each sample."""
    counts = [0] * (len(edges) - 1)
    for x in samples:
        low, high = 0, len(edges)
        while low < high:
            middle = (low + high) // 2
            if x < edges[middle]:
                high = middle
            else:
                low = middle + 1
        if low == len(edges) and x == edges[-1]:
            counts[-1] += 1
        elif 0 < low < len(edges):
            counts[low - 1] += 1
    return counts


def loop_edges(samples: Any, count: int) -> tuple[Any, Any]:
    """Edges over what the samples span, and the factor for places."""
    first = last = samples[0]
    for sample in samples[1:]:
        first = sf.minimum(first, sample)
    for sample in samples[1:]:
        last = sf.maximum(last, sample)
    if first == last:
        first, last = first - 0.5, last + 0.5
    width = last - first
    step = width / count
    inside = [sf.convert_from_integer(i, first.format, width=32) * step + first for i in range(1, count)]
    return [first, *inside, last], count / width


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("size", [1, 6, 200])
def test_histograms_are_loops_of_numbers(fmt: sf.Format, size: int) -> None:
    """Numbers, edges, flags and counts are the loop's, with edges of every kind."""
    samples = random_values(fmt, size)

    def over_the_samples() -> Any:
        edges, scale = loop_edges(samples, 3)
        return loop_even(samples, edges, scale), edges

    check_against_loop(over_the_samples, lambda: np.histogram(samples, 3))
    samples[0] = math.nan
    constants = list(fmt.array([-2, -0.75, 0.5, 1.75, 3]))
    check_against_loop(
        lambda: (loop_even(samples, constants, Fraction(4, 5)), constants),
        lambda: np.histogram(samples, 4, range=(-2, 3)),
    )
    for edges in ([-3, 0, 0.5, 1.5], fmt.array([-3, 0, 0.5, 1.5])):
        emulated = list(fmt.array(edges))
        check_against_loop(
            lambda emulated=emulated: (loop_between(samples, emulated), emulated),  # type: ignore[misc]
            lambda edges=edges: np.histogram(samples, edges),  # type: ignore[misc]
        )


@pytest.mark.parametrize(
    "bins",
    [{"bins": 8, "range": (-4, 4)}, {"bins": [-1, 0, 0.5, 2]}, {"bins": 5}, {"bins": 4, "range": (1, 1)}],
)
def test_histograms_are_numpy_s(bins: dict[str, Any]) -> None:
    """Of many samples in binary64 numbers and edges are numpy's; densities but for rounding."""
    host = np.random.default_rng(9).normal(size=(20, 30))
    samples: Any = sf.binary64.array(host)
    counts, edges = np.histogram(samples, **bins)
    expected, expected_edges = np.histogram(host, **bins)
    assert expected.tolist() == counts.tolist()
    np.testing.assert_array_equal(expected_edges, edges.to_numpy())
    assert bits_of(edges) == bits_of(np.histogram_bin_edges(samples, **bins))
    if expected.any():
        densities = np.histogram(samples, density=True, **bins)[0].to_numpy()
        np.testing.assert_allclose(np.histogram(host, density=True, **bins)[0], densities, rtol=1e-15)


@pytest.mark.parametrize("options", [sf.LEAN, sf.COMPLETE])
def test_no_options_change_a_histogram(options: sf.Options) -> None:
    """Where the options have one direction, a step towards zero stands in front of the conversion."""
    samples = random_values(sf.binary32, 50)
    with sf.environment(options=options), sf.counting() as tally:
        counts, _ = np.histogram(samples, 7)
    assert np.histogram(on_host(samples), 7)[0].tolist() == counts.tolist()
    rounded = tally.calls.get(("round_to_integral_toward_zero", "binary32"), 0)
    assert (0 if options.all_directions else 50) == rounded


def test_histograms_are_counted_by_hand() -> None:
    """Five samples over constant limits, then their densities; edges cost nothing."""
    samples = sf.binary32.array([-1, 0, 1.5, 4, 9])
    with sf.counting() as tally:
        counts, _ = np.histogram(samples, 4, (0, 8))
    assert [2, 0, 1, 0] == counts.tolist()
    calls = {
        "compare_signaling_greater_equal": 5 + 3,  # with 0; then 0 and 1.5 with 2, and 4 with 6
        "compare_signaling_less_equal": 4,  # all but -1, with 8
        "subtraction": 3,  # 0, 1.5 and 4 are inside
        "multiplication": 3,
        "convert_to_integer": 3,
        "compare_signaling_less": 3,  # 0 and 1.5 with 0, and 4 with 4
    }
    assert {(name, "binary32"): count for name, count in calls.items()} == tally.calls
    with sf.counting() as tally:
        densities, _ = np.histogram(samples, 4, (0, 8), density=True)
    np.testing.assert_array_equal(np.float32([1, 0, 0.5, 0]) / np.float32(3), densities.to_numpy())
    calls |= {"subtraction": 3 + 4, "convert_from_integer": 4 + 1, "division": 2 * 4}
    assert {(name, "binary32"): count for name, count in calls.items()} == tally.calls


def test_what_is_no_histogram() -> None:
    """Bins have a number or ascending edges, limits are finite; weights and rules of thumb are refused."""
    samples = sf.binary32.array([1, 2, math.nan])
    with pytest.raises(sf.NotEmulatedError, match=r"^bins='auto' of numpy\.histogram is not emulated"):
        np.histogram(samples, "auto")
    with pytest.raises(sf.NotEmulatedError, match=r"^weights= of numpy\.histogram is not emulated"):
        np.histogram(samples, 3, weights=samples)
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.histogram needs samples, or a range, with finite limits"
    ):
        np.histogram(samples, 3)
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.histogram needs a range of two finite numbers that asc"
    ):
        np.histogram(samples, 3, (2, 1))
    with pytest.raises(sf.OperandError, match=r"^numpy\.histogram needs two edges or more that ascend"):
        np.histogram(samples, [1, 3, 2])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.histogram needs a number of bins from 1 on, or their"
    ):
        np.histogram(samples, 0)
    assert [0, 0] == np.histogram(samples[:0], 2)[0].tolist()


@pytest.mark.parametrize(
    ("fmt", "bins", "limits"), [(sf.bfloat16, 256, (-1, 2)), (sf.binary16, 64, (1000, 1001))]
)
def test_bins_that_the_format_does_not_tell_apart_are_refused(
    fmt: sf.Format, bins: int, limits: tuple[int, int]
) -> None:
    """A sample that would be counted in a wrong bin is no result; with few bins each is right."""
    low, high = limits
    samples = fmt.array(numpy.random.default_rng(1).uniform(low, high, 500))
    with pytest.raises(sf.OperandError, match=rf"needs fewer bins than {bins} in {fmt.name}"):
        numpy.histogram(samples, bins, limits)

    few = max(bins // 64, 2)
    counts, edges = numpy.histogram(samples, few, limits)
    assert numpy.histogram(on_host(samples), on_host(edges))[0].tolist() == counts.tolist()
