"""Polynomials by Horner's rule: numpy's values, counted as the loop."""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]


def loop_horner(coefficients: Any, x: Any) -> Any:
    """The rule on Numbers, from the highest power on."""
    value = coefficients[0]
    for coefficient in coefficients[1:]:
        value = value * x + coefficient
    return value


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("degree", [0, 1, 5])
@pytest.mark.parametrize("size", [1, 7, 200])
def test_polynomials_are_loops(fmt: sf.Format, degree: int, size: int) -> None:
    """Values, flags and counts are those of Horner's rule, with coefficients of either kind."""
    x, coefficients = random_values(fmt, size), [0.5, -1.25, 3, 0, -0.75, 2][: degree + 1]
    numbers = list(fmt.array(coefficients))
    for given in (coefficients, tuple(coefficients), fmt.array(coefficients)):
        check_against_loop(
            lambda: [loop_horner(numbers, value) for value in x], partial(np.polyval, given, x)
        )
    check_against_loop(lambda: loop_horner(numbers, x[0]), lambda: np.polyval(coefficients, x[0]))
    check_against_loop(lambda: loop_horner(numbers, fmt(3)), lambda: np.polyval(fmt.array(coefficients), 3))


def test_polynomials_are_numpy_s() -> None:
    """In binary64 the values are numpy's, whose first step with a zero changes nothing."""
    x = np.random.default_rng(5).normal(size=(3, 4))
    result = np.polyval([2.5, -1, 0.3], sf.binary64.array(x))
    np.testing.assert_array_equal(np.polyval([2.5, -1, 0.3], x), result.to_numpy())


def test_horner_is_counted_by_hand() -> None:
    """A cubic has four coefficients: three products and three sums for each of two elements."""
    with sf.counting() as tally:
        np.polyval([1, 2, 3, 4], sf.binary32.array([1.5, 2.5]))
    assert {("multiplication", "binary32"): 6, ("addition", "binary32"): 6} == tally.calls


def test_polynomials_have_coefficients() -> None:
    """There is none without coefficients, or with a matrix of them."""
    with pytest.raises(
        sf.OperandError, match=r"^numpy\.polyval needs a sequence of at least one coefficient"
    ):
        np.polyval([], sf.binary32(1.5))
    with pytest.raises(sf.OperandError, match=r"coefficient, not an array of shape \(1, 2\)$"):
        np.polyval([[1, 2]], sf.binary32(1.5))
