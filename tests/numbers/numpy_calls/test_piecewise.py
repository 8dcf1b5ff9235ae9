"""Choosing by conditions, and running a user's function on parts of an array, as numpy does."""

from __future__ import annotations

from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary32, sf.binary128]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_selecting_is_numpy_s(fmt: sf.Format) -> None:
    """The first condition that holds chooses; choices broadcast, and moving them costs nothing."""
    values = random_values(fmt, 3, 4)
    host = on_host(values)
    conditions = [host > 1, host[0] < -1]
    with sf.counting() as tally:
        result = np.select(conditions, [values, 2.5], values[0] if fmt == sf.binary32 else -1)
    expected = np.select(conditions, [host, 2.5], host[0] if fmt == sf.binary32 else -1)
    np.testing.assert_array_equal(expected, on_host(result))
    assert {} == tally.calls
    assert "1.5" == str(np.select([False, True], [fmt(2), 1.5]))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_pieces_are_numpy_s(fmt: sf.Format) -> None:
    """Each function computes, and counts, its elements alone; further arguments are passed on to it."""
    values = random_values(fmt, 3, 5)
    host = on_host(values)
    above, below = host > 1, host < 0

    def scaled(x: Any, factor: Any, shift: Any = 0) -> Any:
        return x * factor + shift

    with pytest.raises(
        sf.OperandError, match=r"^numpy\.piecewise needs a function for each of 2 conditions, or"
    ):
        np.piecewise(values, [above, below], [scaled])
    with sf.counting() as tally:
        result = np.piecewise(values, [above], [scaled], 2, shift=0.25)
    np.testing.assert_array_equal(np.piecewise(host, [above], [scaled], 2, shift=0.25), on_host(result))
    count = int(above.sum())
    assert {("multiplication", fmt.name): count, ("addition", fmt.name): count} == tally.calls
    with_else = np.piecewise(values, [above, below], [-1, abs, lambda x: -x])
    np.testing.assert_array_equal(
        np.piecewise(host, [above, below], [-1, abs, lambda x: -x]), on_host(with_else)
    )
    alone = np.piecewise(values[0], above[0], [2, lambda x: -x])
    np.testing.assert_array_equal(np.piecewise(host[0], above[0], [2, lambda x: -x]), on_host(alone))
    assert "2.0" == str(np.piecewise(fmt(1.5), True, [2]))


FUNCTIONS = {
    "mean": lambda line: np.mean(line),
    "sort": lambda line: np.sort(line),
    "outer": lambda line: np.outer(line, line[:2]),
    "argmax": lambda line: np.argmax(line),
}


@pytest.mark.parametrize("axis", [0, 1, -1])
@pytest.mark.parametrize("name", FUNCTIONS)
def test_functions_of_lines(name: str, axis: int) -> None:
    """Results of a user's function, of any shape, take the place of the axis."""
    values = random_values(sf.binary64, 2, 3, 4)
    result = np.apply_along_axis(FUNCTIONS[name], axis, values)
    expected = np.apply_along_axis(FUNCTIONS[name], axis, on_host(values))
    if isinstance(result, sf.FloatArray):
        np.testing.assert_allclose(expected, result.to_numpy(), rtol=1e-15)
    else:
        assert expected.tolist() == result.tolist()


def test_functions_get_their_arguments() -> None:
    """What stands behind the array is passed on to the function, by position and by name."""
    values = random_values(sf.binary32, 2, 3)

    def scaled(line: Any, factor: Any, shift: Any) -> Any:
        return line * factor + shift

    result = np.apply_along_axis(scaled, 1, values, 2, shift=1)
    assert (values * 2 + 1).bits.tolist() == result.bits.tolist()
    assert "3.0" == str(np.apply_along_axis(np.sum, 0, sf.binary32.array([1, 2])))


@pytest.mark.parametrize("axes", [0, [0, 2], [-1, 0], [0, 1, 2]])
def test_functions_over_axes(axes: Any) -> None:
    """One axis after the other is reduced and kept with length one, whether the function keeps it or not."""
    values = random_values(sf.binary32, 2, 3, 4)
    for function in (np.max, lambda a, axis: np.max(a, axis=axis, keepdims=True)):
        result = np.apply_over_axes(function, values, axes)
        np.testing.assert_array_equal(
            np.apply_over_axes(function, values.to_numpy(), axes), result.to_numpy()
        )


def test_conditions_are_bools() -> None:
    """Emulated conditions and no lines at all are refused."""
    values = random_values(sf.binary32, 2, 3)
    with pytest.raises(sf.OperandError, match=r"^numpy\.piecewise needs conditions of bools"):
        np.piecewise(values, [values, values], [1, 2])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.apply_along_axis needs at least one line of elements"
    ):
        np.apply_along_axis(np.sum, 1, values[:0])
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.apply_over_axes needs a function that keeps all axes"
    ):
        np.apply_over_axes(lambda a, axis: np.sum(a), values, 0)
