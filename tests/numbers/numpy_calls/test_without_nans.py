"""What leaves NaNs out asks about every element and then goes through the others as the plain loop does."""

from __future__ import annotations

import math
from functools import partial
from itertools import accumulate
from operator import add, mul
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, in_order, on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]
REDUCTIONS = [np.nansum, np.nanprod, np.nanmax, np.nanmin, np.nanmean, np.nanvar, np.nanstd]
AXES = [None, 0, 1, -1, (0, 2)]


def with_nans(fmt: sf.Format, *shape: int) -> Any:
    """Random values, every third of them a NaN."""
    values = random_values(fmt, *shape)
    flat = values.ravel()
    flat[1::3] = math.nan
    return flat.reshape(shape)


def loop_numbers(values: Any) -> list[Any]:
    """The elements that are no NaNs, after asking about each."""
    return [value for value in values if not sf.is_nan(value)]


def loop_mean(numbers: list[Any]) -> Any:
    """Their mean, where how many there are is an integer variable."""
    count = sf.convert_from_integer(len(numbers), numbers[0].format, width=32)
    return in_order(numbers) / count


def loop_var(values: Any, ddof: int = 0) -> Any:
    """The variance in two passes."""
    numbers = loop_numbers(values)
    mean = loop_mean(numbers)
    distances = [value - mean for value in numbers]
    total = in_order([distance * distance for distance in distances])
    return total / sf.convert_from_integer(len(numbers) - ddof, mean.format, width=32)


def loop_place(values: Any, beyond: Any) -> int:
    """The first place of the number that is beyond all others."""
    best = -1
    for place in [place for place, value in enumerate(values) if not sf.is_nan(value)]:
        if best < 0 or beyond(values[place], values[best]):
            best = place
    return best


def loop_running(step: Any, values: Any, of_nothing: Any) -> list[Any]:
    """Running results that stay where a NaN is, and start with the first number."""
    results: list[Any] = []
    result = None
    for value in values:
        if not sf.is_nan(value):
            result = value if result is None else step(result, value)
        results.append(of_nothing if result is None else result)
    return results


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_leaving_nans_out_is_a_loop_of_numbers(fmt: sf.Format) -> None:
    """Each function has the bits, flags and counts of the loop that skips NaNs."""
    values = with_nans(fmt, 11)
    values[0] = math.nan
    one, zero = fmt(1), fmt(0)
    loops: dict[Any, Any] = {
        np.nansum: lambda: in_order(loop_numbers(values)),
        np.nanprod: lambda: list(accumulate(loop_numbers(values), mul))[-1],
        np.nanmax: lambda: list(accumulate(loop_numbers(values), sf.maximum))[-1],
        np.nanmin: lambda: list(accumulate(loop_numbers(values), sf.minimum))[-1],
        np.nanmean: lambda: loop_mean(loop_numbers(values)),
        np.nanvar: lambda: loop_var(values),
        np.nanstd: lambda: sf.square_root(loop_var(values)),
        partial(np.nanvar, ddof=2): lambda: loop_var(values, 2),
        np.nanargmax: lambda: loop_place(values, sf.compare_signaling_greater),
        np.nanargmin: lambda: loop_place(values, sf.compare_signaling_less),
        np.nancumsum: lambda: loop_running(add, values, zero),
        np.nancumprod: lambda: loop_running(mul, values, one),
    }
    for function, loop in loops.items():
        check_against_loop(loop, partial(function, values))


@pytest.mark.parametrize("axis", AXES)
@pytest.mark.parametrize("keepdims", [False, True])
def test_leaving_nans_out_is_numpy_s(axis: Any, keepdims: bool) -> None:
    """Along axes the doubles are numpy's but for the order of a sum."""
    values = with_nans(sf.binary64, 3, 4, 5)
    host = on_host(values)
    for function in REDUCTIONS:
        result = on_host(np.stack([function(values, axis, keepdims=keepdims)]))[0]
        expected = function(host, axis, keepdims=keepdims)
        assert np.shape(expected) == np.shape(result)
        np.testing.assert_allclose(expected, result, rtol=1e-12)
    if not isinstance(axis, tuple):
        for function in (np.nanargmax, np.nanargmin):
            expected = function(host, axis, keepdims=keepdims)
            assert expected.tolist() == function(values, axis, keepdims=keepdims).tolist()
        for function in (np.nancumsum, np.nancumprod):
            np.testing.assert_allclose(function(host, axis), on_host(function(values, axis)), rtol=1e-12)


def test_lines_of_nothing_but_nans() -> None:
    """They have the sum +0, the product 1, no extreme, and a mean that is an invalid operation."""
    values = sf.binary32.array([math.nan, math.nan])
    texts = [str(function(values)) for function in (np.nansum, np.nanprod, np.nanmax, np.nanmin)]
    assert ["0.0", "1.0", "nan", "nan"] == texts
    assert ["0.0", "0.0"] == list(map(str, np.nancumsum(values)))
    with sf.environment() as env:
        assert "nan" == str(np.nanmean(values))
    assert sf.Flags.INVALID_OPERATION == env.flags
    with pytest.raises(sf.OperandError, match=r"^numpy\.nanargmax needs an element that is no NaN"):
        np.nanargmax(values)
    assert (0,) == np.nansum(sf.binary32.array(np.zeros((0, 3))), 1).shape
    assert (0, 3) == np.nancumsum(sf.binary32.array(np.zeros((0, 3))), 1).shape


def test_leaving_nans_out_is_counted_by_hand() -> None:
    """Of four elements with one NaN, three are added up, and three is converted."""
    with sf.counting() as tally:
        assert "2.0" == str(np.nanmean(sf.binary32.array([1, math.nan, 2, 3])))
    assert {
        ("is_nan", "binary32"): 4,
        ("addition", "binary32"): 2,
        ("convert_from_integer", "binary32"): 1,
        ("division", "binary32"): 1,
    } == tally.calls


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_replacing_what_is_no_number(fmt: sf.Format) -> None:
    """nan_to_num asks for a NaN, then for each infinity, as far as none is found."""
    special = [math.nan, math.inf, -math.inf] if fmt.has_infinity else [math.nan]
    values = fmt.array([1.5, *special, -0.0])
    largest = sf.Number.from_bits(fmt, fmt.largest_finite)
    lowest = sf.Number.from_bits(fmt, fmt.largest_finite | fmt.sign_bit)

    def element(x: Any, nan: Any, above: Any, below: Any) -> Any:
        if sf.is_nan(x):
            return nan
        if x == math.inf:
            return above
        return below if x == -math.inf else x

    check_against_loop(
        lambda: [element(x, fmt(0), largest, lowest) for x in values], lambda: np.nan_to_num(values)
    )
    check_against_loop(
        lambda: [element(x, fmt(1), fmt(2), fmt(3)) for x in values],
        lambda: np.nan_to_num(values, True, 1, 2, fmt(3)),
    )
    assert "0.0" == str(np.nan_to_num(fmt(math.nan)))
    assert np.nan_to_num(values, copy=False) is values
    assert not sf.is_nan(values).any()
