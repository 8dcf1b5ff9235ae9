"""Element-wise functions made of several operations: numpy's values, and the counts of a C function."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import gmpy2  # type: ignore[import-untyped]
import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

import softfloat_py as sf
from tests import strategies
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.extended80, sf.ofp8_e4m3]
HOSTS = [sf.binary16, sf.binary32, sf.binary64]


# -- C functions on Numbers, a branch at a time ------------------------------------------------------


def c_nextafter(x: Any, y: Any) -> Any:
    """C's nextafter."""
    if sf.compare_quiet_unordered(x, y):
        return x + y
    if sf.compare_quiet_equal(x, y):
        return y
    return sf.next_up(x) if sf.compare_quiet_less(x, y) else sf.next_down(x)


def c_spacing(x: Any) -> Any:
    """The distance to the neighbour away from zero."""
    neighbour = sf.next_down(x) if sf.compare_quiet_less(x, 0) else sf.next_up(x)
    return neighbour - x


def c_sign(x: Any) -> Any:
    """1, -1, 0 or the NaN."""
    if sf.compare_quiet_greater(x, 0):
        return x.format(1)
    if sf.compare_quiet_less(x, 0):
        return x.format(-1)
    return x.format(0) if sf.compare_quiet_equal(x, 0) else x


def c_modf(x: Any) -> Any:
    """C's modf."""
    whole = sf.round_to_integral_toward_zero(x)
    fraction = x.format(0) if sf.is_infinite(x) else x - whole
    return sf.copy_sign(fraction, x), whole


def c_frexp(x: Any) -> Any:
    """C's frexp."""
    finite, other_than_zero = sf.is_finite(x), sf.compare_quiet_not_equal(x, 0)
    if not (finite and other_than_zero):
        return x, 0
    exponent = sf.log_b(x) + 1
    return sf.scale_b(x, -exponent), exponent


UNARY: dict[Any, Callable[[Any], Any]] = {
    np.spacing: c_spacing, np.sign: c_sign, np.modf: c_modf, np.frexp: c_frexp,
}  # fmt: skip
BINARY: dict[Any, Callable[[Any, Any], Any]] = {np.nextafter: c_nextafter}


def corners(fmt: sf.Format) -> Any:
    """The encodings at which arithmetic changes its course."""
    return sf.FloatArray.from_bits(fmt, strategies.corner_encodings(fmt))


def columns(results: list[Any]) -> Any:
    """Results of single elements side by side: of pairs, a list of the firsts and one of the seconds."""
    if isinstance(results[0], tuple):
        return [list(column) for column in zip(*results, strict=True)]
    return results


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("function", UNARY, ids=lambda function: function.__name__)
def test_functions_of_one_value_are_c_functions(function: Any, fmt: sf.Format) -> None:
    """Bits, flags and counts of an array are those of the C function on each Number; so are a Number's."""
    values = corners(fmt)
    numbers, loop = list(values), UNARY[function]
    check_against_loop(lambda: columns([loop(x) for x in numbers]), lambda: function(values))
    check_against_loop(lambda: loop(numbers[5]), lambda: function(numbers[5]))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("function", BINARY, ids=lambda function: function.__name__)
def test_functions_of_two_values_are_c_functions(function: Any, fmt: sf.Format) -> None:
    """Bits, flags and counts of pairs are those of the C function on Numbers, shapes broadcast."""
    values = corners(fmt)[:: 1 if fmt.width <= 32 else 2]  # wide formats take long
    numbers, loop = list(values), BINARY[function]
    check_against_loop(
        lambda: [[loop(x, y) for y in numbers] for x in numbers],
        lambda: function(values.reshape(-1, 1), values),
    )
    check_against_loop(lambda: loop(numbers[3], numbers[7]), lambda: function(numbers[3], numbers[7]))


# -- numpy on the host -------------------------------------------------------------------------------


@st.composite
def host_pairs(draw: st.DrawFn) -> tuple[sf.Format, Any, Any]:
    """A host format and arrays of the same length of its encodings."""
    fmt = draw(st.sampled_from(HOSTS))
    pairs = draw(st.lists(strategies.pairs(fmt), min_size=1, max_size=20))
    x, y = (fmt.array_from_bits([pair[place] for pair in pairs]) for place in (0, 1))
    return fmt, x, y


def check_host(expected: Any, result: Any) -> None:
    """Whether emulated values are the host's, zeros with their signs; any NaN is as good as another."""
    host = result.to_numpy()
    np.testing.assert_array_equal(expected, host)
    np.testing.assert_array_equal(*(np.signbit(value[~np.isnan(value)]) for value in (expected, host)))


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@given(host_pairs())
def test_values_are_numpy_s(drawn: tuple[sf.Format, Any, Any]) -> None:
    """Of any values of the host's formats, numpy's function gives the same on the host."""
    fmt, x, y = drawn
    a, b = x.to_numpy(), y.to_numpy()
    if fmt is not sf.binary16:  # for which numpy has functions of its own, with other signs than C's
        check_host(np.spacing(a), np.spacing(x))
        check_host(np.nextafter(a, b), np.nextafter(x, y))
    check_host(np.fmod(a, b), np.fmod(x, y))
    check_host(np.remainder(a, b), np.remainder(x, y))
    check_host(np.sign(a), np.sign(x))
    for function in (np.modf, np.frexp):
        for expected, result in zip(function(a), function(x), strict=True):
            if isinstance(result, sf.FloatArray):
                check_host(expected, result)
            else:
                assert expected[np.isfinite(a)].tolist() == result[np.isfinite(a)].tolist()


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
def test_whole_numbers_and_limits_are_numpy_s() -> None:
    """Rounding to whole numbers, clipping, signs and asking for infinities give what numpy gives."""
    for fmt in HOSTS:
        values = corners(fmt)
        host = values.to_numpy()
        for function in (np.rint, np.floor, np.ceil, np.trunc, np.round, np.around):
            check_host(function(host), function(values))
        check_host(np.copysign(host, host[::-1]), np.copysign(values, values[::-1]))
        np.testing.assert_array_equal(np.clip(host, -1, 2), np.clip(values, -1, 2).to_numpy())
        np.testing.assert_array_equal(np.clip(host, None, 2), values.clip(max=2).to_numpy())
        np.testing.assert_array_equal(np.clip(host, min=-1), np.clip(values, min=-1).to_numpy())
        np.testing.assert_array_equal(np.isposinf(host), np.isposinf(values))
        np.testing.assert_array_equal(np.isneginf(host), np.isneginf(values))
        quiet = values[~np.isnan(host)]
        np.testing.assert_array_equal(np.fmax(quiet.to_numpy(), 1), np.fmax(quiet, 1).to_numpy())
        np.testing.assert_array_equal(np.fmin(math.nan, quiet).to_numpy(), quiet.to_numpy())


def test_clipping_takes_arrays_and_fills_them() -> None:
    """Limits may be arrays that broadcast, and out= an array of the format, the clipped one too."""
    values = random_values(sf.binary32, 3, 4)
    host, lower, upper = values.to_numpy(), values[0] - 1, values[:, :1] + 0.5
    expected = np.clip(host, lower.to_numpy(), upper.to_numpy())
    with sf.counting() as tally:
        result = np.clip(values, lower, upper)
    np.testing.assert_array_equal(expected, result.to_numpy())
    assert {("maximum", "binary32"): 12, ("minimum", "binary32"): 12} == tally.calls
    storage = values.bits
    assert np.clip(values, lower, upper, out=values) is values
    assert result.bits.tolist() == storage.tolist()
    with pytest.raises(sf.OperandError, match=r"^out= needs an array of binary32, not ndarray"):
        np.clip(values, lower, upper, out=host)


def test_absolute_values_and_whole_parts_have_two_names() -> None:
    """abs and fix are absolute and trunc: numpy's values, one call an element."""
    values = random_values(sf.binary32, 10)
    for function in (np.abs, np.absolute, np.fix, np.trunc):
        with sf.counting() as tally:
            result = function(values)
        of_host = np.trunc if function is np.fix else function  # numpy 2.5 warns of fix on its own arrays
        check_host(of_host(values.to_numpy()), result)
        assert 10 == tally.total_calls


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
def test_scaling_takes_integers() -> None:
    """ldexp takes an int or an array of ints, which broadcast, and gives the host's values."""
    values = random_values(sf.binary32, 3, 4)
    host, exponents = values.to_numpy(), np.array([-160, -3, 0, 130])
    np.testing.assert_array_equal(np.ldexp(host, exponents), np.ldexp(values, exponents).to_numpy())
    np.testing.assert_array_equal(np.ldexp(host, 5), np.ldexp(values, 5).to_numpy())
    assert "binary32(12.0)" == repr(np.ldexp(sf.binary32(1.5), np.int64(3)))
    out: Any = values.copy()
    np.ldexp(values, exponents, out=out, where=exponents > 0)
    np.testing.assert_array_equal(np.where(exponents > 0, np.ldexp(host, exponents), host), out.to_numpy())
    with pytest.raises(sf.OperandError, match=r"^scale_b needs integers, not 1\.5"):
        np.ldexp(values, 1.5)


def test_taking_apart_and_putting_together() -> None:
    """frexp and ldexp are inverse to each other in formats the host has not, significands are MPFR's."""
    for fmt in (sf.binary128, sf.ofp8_e5m2):
        values = random_values(fmt, 30)
        significands, exponents = np.frexp(values)
        assert values.bits.tolist() == np.ldexp(significands, exponents).bits.tolist()
        for number, significand, exponent in zip(values, significands, exponents.tolist(), strict=True):
            expected_exponent, expected = gmpy2.frexp(gmpy2.mpfr(float(number), 113))
            if number.bits & ~fmt.sign_bit:
                assert (float(expected), expected_exponent) == (float(significand), exponent)


def test_functions_with_two_results_fill_two_arrays() -> None:
    """out= of modf and frexp takes a pair; where= computes only what it names in both."""
    values = random_values(sf.binary32, 8)
    fractions, wholes = values.copy(), values.copy()
    exponents = np.full(8, 99, np.int32)
    assert np.modf(values, out=(fractions, wholes))[0] is fractions
    expected = np.modf(values.to_numpy())
    np.testing.assert_array_equal(expected, (fractions.to_numpy(), wholes.to_numpy()))
    mask = np.arange(8) < 3
    with sf.counting() as tally:
        np.frexp(values, out=(fractions, exponents), where=mask)
    assert 3 == tally.calls["is_finite", "binary32"]
    np.testing.assert_array_equal(np.where(mask, np.frexp(values.to_numpy())[1], 99), exponents)


def test_formats_without_infinity_have_no_infinite_elements() -> None:
    """What overflows in E4M3 is a NaN, which is neither infinity."""
    assert not np.isposinf(corners(sf.ofp8_e4m3)).any()
    assert not np.isneginf(corners(sf.ofp8_e4m3)).any()


def test_rounding_to_decimals_is_refused() -> None:
    """round to other than whole numbers is no operation, and says what to write."""
    values = random_values(sf.binary32, 3)
    assert np.rint(values).bits.tolist() == values.round().bits.tolist()
    with pytest.raises(sf.NotEmulatedError, match=r"^numpy\.round to decimals is not emulated"):
        np.round(values, 2)
