"""Questions about whole arrays: numpy's answers, each element compared and counted."""

from __future__ import annotations

import math
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

values = sf.binary32.array([[1.5, 0.0, -0.0, math.nan], [2.0, -1.0, 4.0, 0.5]])
host = values.to_numpy()


@pytest.mark.parametrize("axis", [None, 0, 1, (0, 1)])
@pytest.mark.parametrize("keepdims", [False, True])
@pytest.mark.parametrize("function", [np.any, np.all, np.count_nonzero], ids=lambda one: one.__name__)
def test_truths_are_numpy_s(function: Any, axis: Any, keepdims: bool) -> None:
    """any, all and count_nonzero ask whether elements differ from zero, along any axes."""
    expected, result = (function(one, axis=axis, keepdims=keepdims) for one in (host, values))
    np.testing.assert_array_equal(expected, result)


def test_asking_compares_every_element() -> None:
    """Each element is compared with zero once, as bool() of a Number does."""
    numbers = list(values.ravel())
    for function, loop in ((np.any, any), (np.all, all), (np.count_nonzero, sum)):
        check_against_loop(
            lambda loop=loop: loop([bool(number) for number in numbers]),  # type: ignore[misc]
            lambda function=function: function(values),  # type: ignore[misc]
        )
    assert [place.tolist() for place in np.nonzero(host)] == [place.tolist() for place in values.nonzero()]
    assert (True, False) == (values.any(), values.all())


def loop_isclose(a: Any, b: Any, rtol: float, atol: float) -> bool:
    """What isclose asks, of two Numbers."""
    near = sf.compare_quiet_less_equal(abs(a - b), abs(b) * rtol + atol)
    finite, equal = sf.is_finite(b), sf.compare_quiet_equal(a, b)
    return bool((near and finite) or equal)


@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary128, sf.ofp8_e5m2], ids=repr)
def test_closeness_is_computed_in_the_format(fmt: sf.Format) -> None:
    """isclose gives the bits, flags and counts of the arithmetic it stands for."""
    a = random_values(fmt, 20)
    b = a * (1 + 2.0**-6)
    b[3], b[4], a[5] = math.inf, math.nan, math.inf
    pairs = list(zip(a, b, strict=True))
    for rtol in (0.01, 0.02):
        check_against_loop(
            lambda rtol=rtol: [loop_isclose(x, y, rtol, 0.001) for x, y in pairs],  # type: ignore[misc]
            lambda rtol=rtol: np.isclose(a, b, rtol, 0.001),  # type: ignore[misc]
        )


@pytest.mark.parametrize("equal_nan", [False, True])
def test_closeness_is_numpy_s(equal_nan: bool) -> None:
    """In binary32, what is near, infinite or NaN is close where numpy has it so."""
    specials = np.array([math.inf, -math.inf, math.nan, 0, 1, 1.00001, 1.1, 1e-9], np.float32)
    a: Any = sf.binary32.array(np.repeat(specials, 8))
    b: Any = sf.binary32.array(np.tile(specials, 8))
    expected = np.isclose(np.repeat(specials, 8), np.tile(specials, 8), equal_nan=equal_nan)
    assert expected.tolist() == np.isclose(a, b, equal_nan=equal_nan).tolist()
    assert np.allclose(values[1], values[1] * 1.000001)
    assert not np.allclose(values, values)
    assert np.allclose(values, values, equal_nan=True)
    assert np.allclose([2, -1, 4, 0.5], values[1])
    assert "True" == str(np.isclose(sf.binary32(1.5), 1.5))


def test_closeness_to_host_floats_is_refused() -> None:
    """A host array is converted first."""
    with pytest.raises(sf.HostFloatError, match=r"^numpy\.isclose needs emulated operands, not a host array"):
        np.allclose(values, host)


def test_equality_of_arrays_takes_lists_and_nans() -> None:
    """array_equal compares with a list of constants or Numbers, and with equal_nan takes NaNs for equal."""
    sequence = values[1].tolist()
    for other in (sequence, [2, -1.0, 4, 0.5], np.array([2.0, -1.0, 4.0, 0.5]).astype(int)):
        expected = np.array_equal([2, -1, 4, 0.5], [float(one) for one in other])
        assert expected == np.array_equal(values[1], other) == np.array_equal(other, values[1])
    assert not np.array_equal(values, values)
    with sf.counting() as tally:
        assert np.array_equal(values, values.copy(), equal_nan=True)
    assert {"compare_quiet_equal": 8, "is_nan": 16} == {
        name: calls for (name, _), calls in tally.calls.items()
    }
    with pytest.raises(sf.HostFloatError):
        np.array_equal(values, host)


def test_equivalence_of_arrays_broadcasts() -> None:
    """array_equiv compares as far as shapes broadcast, otherwise nothing."""
    rows: Any = sf.binary32.array([[1, 2], [1, 2]])
    with sf.counting() as tally:
        answers = [np.array_equiv(rows, other) for other in ([1, 2], [[1], [2]], rows[0], [1, 2, 3])]
    assert [True, False, True, False] == answers
    assert 12 == tally.total_calls
