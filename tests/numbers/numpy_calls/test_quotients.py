"""// and % and divmod: Python's results bit for bit, numpy's on arrays, and the counts of a C function."""

from __future__ import annotations

import math
import operator
from typing import Any

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

import softfloat_py as sf
from tests import strategies
from tests.numbers.loops import bits_of, check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.extended80, sf.ofp8_e4m3]


# -- Python ------------------------------------------------------------------------------------------


def same(expected: float, result: Any) -> bool:
    """Whether an emulated value is a Python float, zeros with their signs; one NaN is as good as another."""
    if math.isnan(expected):
        return math.isnan(float(result))
    return bool(sf.binary64(expected).bits == result.bits)


def check_python(x: float, y: float) -> None:
    """Whether all three give what Python gives on floats."""
    a, b = sf.binary64(x), sf.binary64(y)
    quotient, remainder = divmod(a, b)
    assert same(x // y, quotient), (x, y)
    assert same(x % y, remainder), (x, y)
    assert (bits_of(quotient), bits_of(remainder)) == (bits_of(a // b), bits_of(a % b))


def finite_divisors(values: list[float]) -> list[float]:
    """Those that Python divides by."""
    return [value for value in values if value != 0]


# Quotients that are whole but for rounding, halfway, or next to a whole number; signs on either side.
CORNERS = [
    0.0, 5e-324, 2.2250738585072014e-308, 0.1, 0.3, 0.5, 0.7, 1.0, 1.0000000000000002, 2.0, 3.0, 5.5, 7.3,
    1e16, 4503599627370497.5, 9007199254740993.0, 1e300, 1.7976931348623157e308, math.inf, math.nan,
]  # fmt: skip


def test_corners_are_python_s() -> None:
    """Signed zeros, subnormals, infinities, NaNs, and multiples that rounding moves."""
    signed = [sign * value for value in CORNERS for sign in (1, -1)]
    for x in signed:
        for y in finite_divisors(signed):
            check_python(x, y)


@given(strategies.pairs(sf.binary64))
def test_any_operands_are_python_s(pair: tuple[int, int]) -> None:
    """Any two binary64 operands give the quotient and the remainder that Python gives."""
    x, y = (float(sf.binary64.from_bits(bits)) for bits in pair)
    if y:
        check_python(x, y)


@given(st.integers(-(10**6), 10**6), st.floats(0.001, 1000), st.booleans())
def test_near_multiples_are_python_s(times: int, y: float, negative: bool) -> None:
    """What is a multiple of the divisor but for rounding gets Python's whole quotient."""
    check_python(times * y, -y if negative else y)


# -- numpy -------------------------------------------------------------------------------------------


def corners(fmt: sf.Format) -> Any:
    """The encodings at which arithmetic changes its course."""
    return sf.FloatArray.from_bits(fmt, strategies.corner_encodings(fmt))


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@pytest.mark.parametrize("fmt", [sf.binary32, sf.binary64], ids=repr)
def test_arrays_are_numpy_s(fmt: sf.Format) -> None:
    """All pairs of corner values give numpy's results, zero divisors too, and zeros with their signs.

    Not in binary16, which numpy divides in binary32.
    """
    x, y = corners(fmt).reshape(-1, 1), corners(fmt)
    host_x, host_y = x.to_numpy(), y.to_numpy()
    expected = [np.floor_divide(host_x, host_y), np.remainder(host_x, host_y), *np.divmod(host_x, host_y)]
    results = [x // y, x % y, *divmod(x, y)]
    for one, result in zip(expected, results, strict=True):
        host = result.to_numpy()
        np.testing.assert_array_equal(one, host)
        np.testing.assert_array_equal(*(np.signbit(value[~np.isnan(value)]) for value in (one, host)))


def test_a_zero_divisor_raises_flags_and_no_exception() -> None:
    """x // 0 is the division, infinite or a NaN; x % 0 is a NaN and an invalid operation."""
    x = sf.binary32(-2.5)
    with sf.environment() as environment:
        assert -math.inf == float(x // 0)
    assert sf.Flags.DIVISION_BY_ZERO == environment.flags
    with sf.environment() as environment:
        assert math.isnan(float(x % 0))
        assert math.isnan(float(x.format(0) // 0))
    assert sf.Flags.INVALID_OPERATION == environment.flags
    quotient, remainder = divmod(x, 0.0)
    assert (-math.inf, True) == (float(quotient), math.isnan(float(remainder)))


# -- counts ------------------------------------------------------------------------------------------


def c_corrected(rest: Any, y: Any) -> tuple[Any, bool]:
    """The remainder with the divisor's sign, and whether that took a correction."""
    if not sf.compare_quiet_not_equal(rest, 0):
        return sf.copy_sign(rest, y), False
    below, divisor_below = sf.compare_quiet_less(rest, 0), sf.compare_quiet_less(y, 0)
    return (rest + y, True) if below != divisor_below else (rest, False)


def c_remainder(x: Any, y: Any) -> Any:
    """Python's %."""
    return c_corrected(sf.remainder_truncated(x, y), y)[0]


def c_quotient(x: Any, y: Any, rest: Any, corrected: bool) -> Any:
    """Python's // of what fmod has been subtracted from."""
    quotient = (x - rest) / y
    if corrected:
        quotient = quotient - 1
    if not sf.compare_quiet_not_equal(quotient, 0):
        return x.format(-0.0 if sf.is_sign_minus(x) != sf.is_sign_minus(y) else 0.0)
    whole = sf.round_to_integral_toward_negative(quotient)
    return whole + 1 if sf.compare_quiet_greater(quotient - whole, 0.5) else whole


def c_floor_divide(x: Any, y: Any) -> Any:
    """Python's //."""
    if sf.compare_quiet_equal(y, 0):
        return x / y
    rest = sf.remainder_truncated(x, y)
    corrected = False
    if sf.compare_quiet_not_equal(rest, 0):
        corrected = sf.compare_quiet_less(rest, 0) != sf.compare_quiet_less(y, 0)
    return c_quotient(x, y, rest, corrected)


def c_divmod(x: Any, y: Any) -> Any:
    """Python's divmod."""
    rest = sf.remainder_truncated(x, y)
    remainder, corrected = c_corrected(rest, y)
    quotient = x / y if sf.compare_quiet_equal(y, 0) else c_quotient(x, y, rest, corrected)
    return quotient, remainder


FUNCTIONS: dict[Any, Any] = {
    np.remainder: c_remainder, np.floor_divide: c_floor_divide, np.divmod: c_divmod,
}  # fmt: skip


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_counts_are_those_of_a_c_function(function: Any, fmt: sf.Format) -> None:
    """Bits, flags and counts of pairs are those of the C function on Numbers; shapes broadcast."""
    values = corners(fmt)[:: 1 if fmt.width <= 16 else 2 if fmt.width == 32 else 3]  # wide formats take long
    numbers, loop = list(values), FUNCTIONS[function]

    def one_by_one() -> Any:
        results = [[loop(x, y) for y in numbers] for x in numbers]
        if function is np.divmod:
            return [[[pair[place] for pair in row] for row in results] for place in (0, 1)]
        return results

    check_against_loop(one_by_one, lambda: function(values.reshape(-1, 1), values))
    check_against_loop(lambda: loop(numbers[3], numbers[7]), lambda: function(numbers[3], numbers[7]))
    check_against_loop(lambda: loop(numbers[5], fmt(0.75)), lambda: function(numbers[5], 0.75))


OPERATORS: dict[Any, Any] = {
    operator.mod: np.remainder, operator.floordiv: np.floor_divide, divmod: np.divmod,
}  # fmt: skip


@pytest.mark.parametrize("sign", OPERATORS, ids=lambda sign: sign.__name__)
def test_operators_are_numpy_s_functions(sign: Any) -> None:
    """Operators and their reflected forms, with constants and numpy's scalars, are the functions."""
    values = random_values(sf.binary32, 4)
    for left, right in (
        (values, 0.75), (7, values + 8), (np.float64(2.5), values + 8), (values, values + 8),
        (values[1], values), (values[1], 0.75), (np.float32(7), values[1]), (values, np.array([1, 2, 3, 4])),
    ):  # fmt: skip
        check_against_loop(lambda: OPERATORS[sign](left, right), lambda: sign(left, right))  # noqa: B023


def test_operators_in_place() -> None:
    """`//=` and `%=` put their results into the array itself."""
    in_places: dict[Any, Any] = {operator.ifloordiv: operator.floordiv, operator.imod: operator.mod}
    for in_place, sign in in_places.items():
        values = random_values(sf.binary32, 5)
        expected, storage = sign(values, 0.75).bits.tolist(), values.bits
        assert values is in_place(values, 0.75)
        assert expected == storage.tolist()
    with pytest.raises(sf.MixedFormatsError):
        values %= sf.binary16(2)


def test_two_results_fill_two_arrays() -> None:
    """out= of divmod takes a pair."""
    values = random_values(sf.binary32, 5)
    quotients, remainders = values.copy(), values.copy()
    np.divmod(values, 0.75, out=(quotients, remainders))
    expected = np.divmod(values.to_numpy(), np.float32(0.75))
    np.testing.assert_array_equal(expected, (quotients.to_numpy(), remainders.to_numpy()))
