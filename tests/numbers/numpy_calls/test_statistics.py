"""Mean, variance and standard deviation go in index order and are counted as the loops they are."""

from __future__ import annotations

from typing import Any

import gmpy2  # type: ignore[import-untyped]
import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, in_order, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.bfloat16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


def loop_mean(values: Any) -> Any:
    """The sum in index order, divided by how many there are."""
    return in_order(values) / len(values)


def loop_var(values: Any, ddof: int = 0) -> Any:
    """Two passes over Numbers: the mean, then the squared distances from it."""
    mean = loop_mean(values)
    distances = [value - mean for value in values]
    return in_order([distance * distance for distance in distances]) / (len(values) - ddof)


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("size", [1, 2, 13, 200])
def test_statistics_are_loops_of_numbers(fmt: sf.Format, size: int) -> None:
    """mean, var and std of one axis give the bits, flags and counts of a loop."""
    values = random_values(fmt, size)
    numbers = list(values)
    check_against_loop(lambda: loop_mean(numbers), values.mean)
    check_against_loop(lambda: loop_var(numbers), lambda: np.var(values))
    check_against_loop(lambda: sf.square_root(loop_var(numbers)), values.std)


@pytest.mark.parametrize("axis", [0, 1, -1])
def test_statistics_along_an_axis(axis: int) -> None:
    """Along an axis there is one result for each line of elements, and keepdims keeps the axis."""
    values = random_values(sf.binary32, 4, 5)
    lines = [list(line) for line in (values.T if axis == 0 else values)]
    check_against_loop(lambda: [loop_mean(line) for line in lines], lambda: values.mean(axis))
    check_against_loop(lambda: [loop_var(line, 1) for line in lines], lambda: values.var(axis, ddof=1))
    assert np.std(np.ones((4, 5)), axis=axis, keepdims=True).shape == values.std(axis, keepdims=True).shape


def test_pairs_have_numpy_s_mean() -> None:
    """Of two elements there is one order, so mean and variance are the host's, in binary32 and binary64."""
    for dtype, fmt in ((np.float32, sf.binary32), (np.float64, sf.binary64)):
        host = np.random.default_rng(3).normal(size=(2, 300)).astype(dtype)
        values = fmt.array(host)
        np.testing.assert_array_equal(host.mean(0), values.mean(0).to_numpy())
        np.testing.assert_array_equal(host.var(0), values.var(0).to_numpy())
        np.testing.assert_array_equal(host.std(0), values.std(0).to_numpy())


def test_mean_and_variance_in_binary128() -> None:
    """Both agree with the same loops in MPFR at 113 bits."""
    host = np.random.default_rng(4).normal(size=40)
    values: Any = sf.binary128.array(host)
    with gmpy2.context(precision=113):
        wide = [gmpy2.mpfr(float(value)) for value in host]
        mean = sum(wide[1:], wide[0]) / len(wide)
        squares = [(value - mean) ** 2 for value in wide]
        variance = sum(squares[1:], squares[0]) / (len(wide) - 1)
        expected = [value.as_integer_ratio() for value in (mean, variance)]
    results = [values.mean(), values.var(ddof=1)]
    assert expected == [
        tuple(map(gmpy2.mpz, sf.binary128.decode(result.bits).as_integer_ratio())) for result in results
    ]


def test_weighted_averages() -> None:
    """Products with the weights and their sum, divided by the sum of the weights."""
    values = random_values(sf.binary32, 3, 4)
    weights = sf.binary32.array([0.5, 1.25, 2, 0.3])
    rows, factors = [list(row) for row in values], list(weights)

    def loop(row: Any) -> Any:
        total = in_order([value * factor for value, factor in zip(row, factors, strict=True)])
        return total / in_order(factors)

    check_against_loop(
        lambda: [loop(row) for row in rows], lambda: np.average(values, axis=1, weights=weights)
    )
    check_against_loop(lambda: loop(rows[0]), lambda: np.average(values[0], weights=weights))
    assert values.mean(0).bits.tolist() == np.average(values, 0).bits.tolist()
    assert (
        np.average(values[0], weights=sf.binary32.array([1, 2, 3, 4])).bits
        == np.average(values[0], weights=[1, 2, 3, 4]).bits
    )
    with pytest.raises(sf.OperandError, match=r"^numpy\.average needs weights of the values' shape \(3, 4\)"):
        np.average(values, axis=0, weights=weights)
    with pytest.raises(sf.HostFloatError, match=r"^numpy\.average needs emulated operands"):
        np.average(values[0], weights=np.ones(4))


@pytest.mark.parametrize("axis", [None, 0, 1])
def test_averages_return_the_sum_of_their_weights(axis: Any) -> None:
    """Beside the average comes the sum of the weights, or the number of elements, in numpy's shape."""
    values = random_values(sf.binary64, 3, 4)
    host = values.to_numpy()
    for weights in (None, [[2, 1, 4, 1]] * 3):
        expected, expected_sum = np.average(host, axis, weights, returned=True)
        with sf.counting() as tally:
            result, weight_sum = np.average(values, axis, weights, returned=True)
        with sf.counting() as alone:
            assert np.average(values, axis, weights).format == sf.binary64
        assert alone.calls == tally.calls
        assert np.shape(expected_sum) == np.shape(weight_sum)
        for ours, numpys in ((result, expected), (weight_sum, expected_sum)):
            values_of_ours = float(ours) if axis is None else ours.to_numpy()
            np.testing.assert_allclose(numpys, values_of_ours, rtol=1e-15, atol=1e-15)


def test_a_mean_that_is_there_is_not_computed_again() -> None:
    """mean= leaves the variance its second pass alone, and correction= is ddof=."""
    values = random_values(sf.binary32, 3, 4)
    numbers = list(values[0])
    mean = np.mean(values, 1, keepdims=True)
    with sf.counting() as tally:
        result = np.var(values, 1, mean=mean, correction=1)
    assert np.var(values, 1, ddof=1).bits.tolist() == result.bits.tolist()
    assert {
        ("subtraction", "binary32"): 3 * 4,
        ("multiplication", "binary32"): 3 * 4,
        ("addition", "binary32"): 3 * 3,
        ("division", "binary32"): 3,
    } == tally.calls
    check_against_loop(lambda: sf.square_root(loop_var(numbers, 1)), lambda: np.std(values[0], correction=1))
    with pytest.raises(sf.OperandError, match=r"^numpy\.var needs ddof= or correction="):
        np.var(values, ddof=1, correction=1)


@pytest.mark.parametrize("keyword", [{"where": [True, False]}, {"dtype": float}], ids=repr)
@pytest.mark.parametrize("function", [np.mean, np.var, np.std, np.nanmean], ids=lambda row: row.__name__)
def test_other_elements_and_other_arithmetic_are_refused(function: Any, keyword: dict[str, Any]) -> None:
    """A mask and a dtype of the host are named, and nothing is computed."""
    (name,) = keyword
    with (
        sf.counting() as tally,
        pytest.raises(sf.NotEmulatedError, match=rf"^{name}= of numpy\.{function.__name__} is not emulated"),
    ):
        function(sf.binary32.array([1.5, 2.5]), **keyword)
    assert {} == tally.calls


def test_the_mean_of_nothing() -> None:
    """No elements have the mean 0/0, an invalid operation; too few for ddof likewise."""
    with sf.environment() as env:
        assert "nan" == str(sf.binary32.array([]).mean())
    assert sf.Flags.INVALID_OPERATION == env.flags
    assert "nan" == str(sf.binary32.array([1.5]).var(ddof=1))
