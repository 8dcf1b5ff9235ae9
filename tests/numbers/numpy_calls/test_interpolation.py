"""Interpolation in a table: numpy's heights, counted as the search and the line of a C loop."""

from __future__ import annotations

import math
from functools import partial
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]
# A thermistor's readings, in millivolts, and the temperatures of the water.
READINGS = [-3.5, -2, -0.5, 0, 1, 1.5, 3]
TEMPERATURES = [24, 16.5, 12, 11.75, 9, 4, -1.5]


def loop_interp(x: Any, xp: list[Any], fp: list[Any], left: Any, right: Any) -> Any:
    """A table look-up as it is written in C."""
    if x < xp[0]:
        return left
    if x > xp[-1]:
        return right
    low, high = 1, len(xp)
    while low < high:
        middle = (low + high) // 2
        if x >= xp[middle]:
            low = middle + 1
        else:
            high = middle
    i = low - 1
    if i == len(xp) - 1:
        return fp[i]
    slope = (fp[i + 1] - fp[i]) / (xp[i + 1] - xp[i])
    return slope * (x - xp[i]) + fp[i]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("points", [1, 2, 7])
@pytest.mark.parametrize("ends", [{}, {"left": -7, "right": 7}], ids=["", "ends"])
def test_interpolation_is_a_loop_of_numbers(fmt: sf.Format, points: int, ends: dict[str, Any]) -> None:
    """Heights, flags and counts are those of the look-up, for tables of constants and emulated ones."""
    x = random_values(fmt, 7, 20)
    x[0, 0] = math.nan
    places, heights = fmt.array(READINGS[:points]), fmt.array(TEMPERATURES[:points])
    xp, fp = list(places), list(heights)
    left, right = fmt(ends.get("left", fp[0])), fmt(ends.get("right", fp[-1]))

    def loop(x: Any) -> Any:
        return loop_interp(x, xp, fp, left, right)

    constants = READINGS[:points], tuple(TEMPERATURES[:points])
    for table in ((places, heights), constants):
        check_against_loop(
            lambda: [[loop(value) for value in row] for row in x],
            partial(np.interp, x, *table, **ends),
        )
        check_against_loop(lambda: loop(x[1, 1]), partial(np.interp, x[1, 1], *table, **ends))


def test_interpolation_is_numpy_s() -> None:
    """In binary64 the heights are numpy's where it has one slope for each x as well, to the last bit."""
    x = np.random.default_rng(5).uniform(-4, 4, 6)
    x[:2] = READINGS[-1], READINGS[2]
    result = np.interp(sf.binary64.array(x), READINGS, TEMPERATURES)
    np.testing.assert_array_equal(np.interp(x, READINGS, TEMPERATURES), result.to_numpy())
    single = np.interp(sf.binary32.array(x), READINGS, TEMPERATURES).to_numpy()
    np.testing.assert_allclose(np.interp(x, READINGS, TEMPERATURES), single, rtol=1e-5)


def test_interpolation_is_counted_by_hand() -> None:
    """In a table of four points: two comparisons with the ends, two by bisection, and the line."""
    with sf.counting() as tally:
        assert "2.5" == str(np.interp(sf.binary32(1.5), [0, 1, 2, 3], [0, 1, 4, 9]))
    assert {
        ("compare_signaling_less", "binary32"): 1,
        ("compare_signaling_greater", "binary32"): 1,
        ("compare_signaling_greater_equal", "binary32"): 2,  # with 2, then with 1
        ("subtraction", "binary32"): 3,
        ("division", "binary32"): 1,
        ("multiplication", "binary32"): 1,
        ("addition", "binary32"): 1,
    } == tally.calls


def test_a_constant_may_be_looked_up_in_an_emulated_table() -> None:
    """One emulated argument is enough, and it may be the table, or the height beyond it."""
    heights = sf.binary32.array(TEMPERATURES)
    assert "10.375" == str(np.interp(0.5, READINGS, heights))
    assert ["4.0", "-1.5"] == list(map(str, np.interp([1.5, 9], READINGS, heights)))
    assert "2.0" == str(np.interp(9, READINGS, TEMPERATURES, right=sf.binary32(2)))


def test_tables_that_are_none() -> None:
    """Tables have one axis and as many places as heights; host arrays of floats and a period are refused."""
    x = sf.binary32(1.5)
    with pytest.raises(sf.OperandError, match=r"^numpy\.interp needs as many xp as fp, .*\(2,\) and \(3,\)$"):
        np.interp(x, [1, 2], [1, 2, 3])
    with pytest.raises(sf.OperandError, match=r"^numpy\.interp needs as many xp as fp"):
        np.interp(x, [], [])
    with pytest.raises(sf.HostFloatError, match=r"^numpy\.interp needs emulated operands"):
        np.interp(x, np.array([1.0, 2.0]), [1, 2])
    with pytest.raises(sf.NotEmulatedError, match=r"^period= of numpy\.interp is not emulated"):
        np.interp(x, [1, 2], [1, 2], period=3)
