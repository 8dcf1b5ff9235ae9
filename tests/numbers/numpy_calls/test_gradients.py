"""Slopes of samples: numpy's, to the last bit, and counted as loops."""

from __future__ import annotations

from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


def loop_even(f: Any, h: Any) -> list[Any]:
    """Slopes of evenly spaced Numbers; h is a constant."""
    inside = [(f[i + 1] - f[i - 1]) / (2 * h) for i in range(1, len(f) - 1)]
    return [(f[1] - f[0]) / h, *inside, (f[-1] - f[-2]) / h]


def loop_even_of_second_order(f: Any, h: Any) -> list[Any]:
    """The same, with three samples at the edges; factors of a constant h are constants."""
    inside = [(f[i + 1] - f[i - 1]) / (2 * h) for i in range(1, len(f) - 1)]
    outer, middle, inner = 1.5 / h, 2 / h, 0.5 / h
    first = middle * f[1] - outer * f[0] - inner * f[2]
    return [first, *inside, inner * f[-3] - middle * f[-2] + outer * f[-1]]


def loop_uneven(f: Any, x: Any) -> list[Any]:
    """Slopes at coordinates x, in numpy's order of the terms."""
    steps = [x[i + 1] - x[i] for i in range(len(x) - 1)]
    slopes = []
    for i in range(1, len(f) - 1):
        d, e = steps[i - 1], steps[i]
        both = d + e
        earlier = e / (d * both) * f[i - 1]
        slopes.append((e - d) / (d * e) * f[i] - earlier + d / (e * both) * f[i + 1])
    return [(f[1] - f[0]) / steps[0], *slopes, (f[-1] - f[-2]) / steps[-1]]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_slopes_are_loops_of_numbers(fmt: sf.Format) -> None:
    """With a constant spacing and with coordinates, bits, flags and counts are the loop's."""
    values, places = random_values(fmt, 9), [-3, -1, 0, 0.5, 1, 2, 2.5, 4, 7]
    check_against_loop(lambda: loop_even(values, 0.75), lambda: np.gradient(values, 0.75))
    check_against_loop(lambda: loop_uneven(values, fmt.array(places)), lambda: np.gradient(values, places))
    many = random_values(fmt, 5, 40)
    check_against_loop(
        lambda: [loop_even(row, 0.75) for row in many], lambda: np.gradient(many, 0.75, axis=1)
    )


def test_edges_of_second_order_are_loops_of_numbers() -> None:
    """Three samples at an edge have three products and two sums, whose factors are folded."""
    values = random_values(sf.binary32, 7)
    check_against_loop(
        lambda: loop_even_of_second_order(values, 0.75), lambda: np.gradient(values, 0.75, edge_order=2)
    )


SPACINGS: list[tuple[Any, ...]] = [
    (),
    (0.3,),
    (0.5, 2),
    ([0, 1, 2.5, 3], 0.1),
    ([0, 1, 2.5, 3], [0, 0.1, 0.4, 0.5, 0.8]),
]


@pytest.mark.parametrize("spacings", SPACINGS, ids=repr)
@pytest.mark.parametrize("edge_order", [1, 2])
def test_slopes_are_numpy_s(spacings: tuple[Any, ...], edge_order: int) -> None:
    """In binary64 slopes along each axis are numpy's to the last bit, of constant spacings and of Numbers."""
    values = random_values(sf.binary64, 4, 5)
    host = on_host(values)
    expected = np.gradient(host, *spacings, edge_order=edge_order)
    emulated = [sf.binary64.array(spacing)[()] for spacing in spacings]
    for given in (spacings, emulated):
        for ours, numpys in zip(np.gradient(values, *given, edge_order=edge_order), expected, strict=True):
            np.testing.assert_array_equal(numpys, ours.to_numpy())
    alone = np.gradient(values, axis=-1, edge_order=edge_order)
    np.testing.assert_array_equal(np.gradient(host, axis=-1, edge_order=edge_order), alone.to_numpy())


def calls_of(*arguments: Any, **keywords: Any) -> dict[str, int]:
    """What the slopes of five samples in binary32 count."""
    with sf.counting() as tally:
        np.gradient(sf.binary32.array([1, 2, 4, 7, 11]), *arguments, **keywords)
    return {name: calls for (name, _), calls in tally.calls.items()}


def test_slopes_are_counted_by_hand() -> None:
    """Five samples have three inside and two edges; there is no division by a constant 1."""
    assert {"subtraction": 5, "division": 3} == calls_of() == calls_of(1)
    assert {"subtraction": 5, "division": 2} == calls_of(0.5)
    assert {"subtraction": 5, "division": 5} == calls_of(0.25)
    assert {"multiplication": 1, "subtraction": 5, "division": 5} == calls_of(sf.binary32(0.25))
    # Inside as above; at each edge three products, and together three subtractions and an addition.
    edges = {"multiplication": 6, "addition": 1}
    assert {"subtraction": 3 + 3, "division": 3, **edges} == calls_of(0.25, edge_order=2)
    # An emulated spacing is doubled, and divides three numbers.
    expected = {"subtraction": 6, "division": 3 + 3, **edges, "multiplication": 6 + 1}
    assert expected == calls_of(sf.binary32(0.25), edge_order=2)
    # Four distances; inside e - d, d + e, three products and quotients, then three products and two sums.
    inside = {"addition": 3 * 2, "multiplication": 3 * 6, "division": 3 * 3}
    subtractions = 4 + 3 * 2
    places = [0, 1, 3, 4, 8]
    expected = {**inside, "subtraction": subtractions + 2, "division": 3 * 3 + 2}
    assert expected == calls_of(places) == calls_of(sf.binary32.array(places))
    # At each edge two sums, four products and three quotients for the factors, and three products.
    expected = {
        "subtraction": subtractions + 3,
        "addition": 3 * 2 + 2 * 2 + 1,
        "multiplication": 3 * 6 + 2 * 7,
        "division": 3 * 3 + 2 * 3,
    }
    assert expected == calls_of(places, edge_order=2)


def test_slopes_need_samples_and_spacings() -> None:
    """Too few samples, coordinates or axes are refused, and so is a spacing of zero."""
    values = sf.binary32.array([[1, 2], [3, 4]])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.gradient needs at least 3 samples along an axis, not 2"
    ):
        np.gradient(values, edge_order=2)
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.gradient needs a coordinate for each of 2 samples, not"
    ):
        np.gradient(values, [1, 2, 3], 1)
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.gradient needs one spacing or one for each of 2 axes, no"
    ):
        np.gradient(values, 1, 2, 3)
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.gradient needs a Number or a finite constant that is not 0"
    ):
        np.gradient(values, 0)
    with pytest.raises(sf.OperandError, match=r"^numpy\.gradient needs edge_order 1 or 2, not 3"):
        np.gradient(values, edge_order=3)
