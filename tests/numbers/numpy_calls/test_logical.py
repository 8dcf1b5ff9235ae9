"""Logical functions and the step function: numpy's truths, counted as C's !, && and ||."""

from __future__ import annotations

import math
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests import strategies
from tests.numbers.loops import check_against_loop

np: Any = numpy  # whose types know nothing of emulated values

values: Any = sf.binary32.array([1.5, 0.0, -0.0, math.nan, -2.0, math.inf])
host = values.to_numpy()
PYTHON: dict[Any, Any] = {
    np.logical_and: lambda x, y: bool(x) and bool(y),
    np.logical_or: lambda x, y: bool(x) or bool(y),
    np.logical_xor: lambda x, y: bool(x) != bool(y),
}


@pytest.mark.parametrize("function", PYTHON, ids=lambda function: function.__name__)
def test_logic_is_python_s_and_c_s(function: Any) -> None:
    """Of all pairs, truths are numpy's; the second operand is asked only where the first does not decide."""
    column = values.reshape(-1, 1)
    np.testing.assert_array_equal(function(host.reshape(-1, 1), host), function(column, values))
    loop, numbers = PYTHON[function], list(values)
    check_against_loop(
        lambda: [[loop(x, y) for y in numbers] for x in numbers], lambda: function(column, values)
    )
    for x in numbers:
        check_against_loop(lambda x=x: loop(x, numbers[1]), lambda x=x: function(x, numbers[1]))  # type: ignore[misc]


def test_not_is_a_comparison_with_zero() -> None:
    """logical_not asks each element once, whether it equals zero."""
    np.testing.assert_array_equal(np.logical_not(host), np.logical_not(values))
    with sf.counting() as tally:
        np.logical_not(values)
        assert np.logical_not(values[1]) is True
    assert {("compare_quiet_equal", "binary32"): 7} == tally.calls


def test_truths_of_the_program_stand_beside_values() -> None:
    """Masks and integers are not asked on the target; where a mask decides, nothing is."""
    mask, ints = np.array([True, False] * 3), np.array([0, 1, 2, 0, 1, 2])
    for truths in (mask, ints, mask.tolist()):
        for function in PYTHON:
            np.testing.assert_array_equal(function(truths, host), function(truths, values))
            np.testing.assert_array_equal(function(host, truths), function(values, truths))
    with sf.counting() as tally:
        np.logical_and(mask, values)
    assert {("compare_quiet_not_equal", "binary32"): 3} == tally.calls
    with sf.counting() as tally:
        assert np.logical_and(values[0], 2.0)
        assert not np.logical_or(False, values[1])
    assert {("compare_quiet_not_equal", "binary32"): 2} == tally.calls
    with pytest.raises(sf.HostFloatError, match=r"^numpy\.logical_and needs emulated operands"):
        np.logical_and(host, values)


def test_logical_results_go_into_arrays() -> None:
    """out= takes an array of bools; where= asks only what it names, and numpy's True names everything."""
    out = np.zeros(6, bool)
    with sf.counting() as tally:
        assert np.logical_not(values, out=out, where=host > 0) is out
    assert 2 == tally.total_calls
    with sf.counting() as tally:
        result = np.add(values, 1, where=np.True_)
    np.testing.assert_array_equal(host + 1, result.to_numpy())
    assert 6 == tally.total_calls


def test_reductions_name_what_asks_a_whole_array() -> None:
    """The methods of logical functions are numpy.all and numpy.any."""
    for function, nearest in ((np.logical_and, "numpy.all"), (np.logical_or, "numpy.any")):
        with pytest.raises(sf.NotEmulatedError) as caught:
            function.reduce(values)
        assert (f"numpy.{function.__name__}.reduce", nearest) == (caught.value.function, caught.value.nearest)


def c_heaviside(x: Any, y: Any) -> Any:
    """The step function, a branch at a time."""
    if sf.compare_quiet_less(x, 0):
        return x.format(0)
    if sf.compare_quiet_greater(x, 0):
        return x.format(1)
    return y if sf.compare_quiet_equal(x, 0) else x


@pytest.mark.filterwarnings("ignore:invalid value:RuntimeWarning")
@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3], ids=repr)
def test_the_step_function_is_a_c_function(fmt: sf.Format) -> None:
    """heaviside gives the bits, flags and counts of C's branches, and numpy's values."""
    x = sf.FloatArray.from_bits(fmt, strategies.corner_encodings(fmt))
    numbers, half = list(x), fmt(0.5)
    check_against_loop(lambda: [c_heaviside(one, half) for one in numbers], lambda: np.heaviside(x, 0.5))
    check_against_loop(lambda: c_heaviside(numbers[9], half), lambda: np.heaviside(numbers[9], 0.5))
    check_against_loop(
        lambda: [[c_heaviside(one, y) for y in numbers[:2]] for one in numbers],
        lambda: np.heaviside(x.reshape(-1, 1), x[:2]),
    )
    if fmt in (sf.binary16, sf.binary32):
        expected = np.heaviside(x.to_numpy(), np.float16(0.5))
        np.testing.assert_array_equal(expected, np.heaviside(x, 0.5).to_numpy())
