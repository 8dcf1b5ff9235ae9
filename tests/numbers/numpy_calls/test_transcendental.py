"""Functions made of elementary functions: the operations that a C loop has, and values near numpy's."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import gmpy2  # type: ignore[import-untyped]
import numpy
import pytest

import softfloat_py as sf
from tests import strategies
from tests.numbers.loops import check_against_loop
from tests.references.exact_rounding import Destination
from tests.references.leading_bit import from_twin

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.extended80, sf.ofp8_e4m3]
HOSTS = [sf.binary16, sf.binary32, sf.binary64]
a: Any = sf.binary32.array([0.0, 2.0, -0.75, 2.0])
x: Any = sf.binary32(-0.75)


def constant(fmt: sf.Format, compute: Callable[[], Any]) -> sf.Number:
    """A real number that MPFR has with a thousand bits, rounded to a format."""
    with gmpy2.context(precision=1000):
        value = Fraction(*map(int, compute().as_integer_ratio()))
    bits = Destination(fmt.twin, sf.Rounding.TIES_TO_EVEN).round(value)[0]
    return sf.Number.from_bits(fmt, from_twin(fmt, bits) if fmt.explicit_leading_bit else bits)


def pi(fmt: sf.Format) -> sf.Number:
    """The constant pi of a format."""
    return constant(fmt, gmpy2.const_pi)


# -- C functions on Numbers, a branch at a time -------------------------------------------------------------


def c_radians(x: Any) -> Any:
    """A multiplication."""
    return sf.multiplication(x, constant(x.format, lambda: gmpy2.const_pi() / 180))


def c_degrees(x: Any) -> Any:
    """A multiplication."""
    return sf.multiplication(x, constant(x.format, lambda: 180 / gmpy2.const_pi()))


def c_sinc(x: Any) -> Any:
    """1 for zero, which the quotient has not."""
    if sf.compare_quiet_equal(x, 0):
        return x.format(1)
    return sf.division(sf.sin_pi(x), sf.multiplication(x, pi(x.format)))


def c_logaddexp(x: Any, y: Any) -> Any:
    """The larger one and what the other adds to it."""
    if sf.compare_quiet_equal(x, y):
        return sf.addition(x, constant(x.format, gmpy2.const_log2))
    larger, smaller = (x, y) if sf.compare_quiet_greater(x, y) else (y, x)
    return sf.addition(larger, sf.logp1(sf.exp(sf.subtraction(smaller, larger))))


def c_logaddexp2(x: Any, y: Any) -> Any:
    """The same to the base 2."""
    if sf.compare_quiet_equal(x, y):
        return sf.addition(x, 1)
    larger, smaller = (x, y) if sf.compare_quiet_greater(x, y) else (y, x)
    return sf.addition(larger, sf.log2p1(sf.exp2(sf.subtraction(smaller, larger))))


UNARY: dict[Any, Callable[[Any], Any]] = {
    np.cbrt: lambda x: sf.rootn(x, 3),
    np.radians: c_radians,
    np.deg2rad: c_radians,
    np.degrees: c_degrees,
    np.rad2deg: c_degrees,
    np.sinc: c_sinc,
    np.angle: lambda x: sf.atan2(0, x),
}
BINARY: dict[Any, Callable[[Any, Any], Any]] = {np.logaddexp: c_logaddexp, np.logaddexp2: c_logaddexp2}


def corners(fmt: sf.Format) -> Any:
    """The encodings at which arithmetic changes its course."""
    return sf.FloatArray.from_bits(fmt, strategies.corner_encodings(fmt))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("function", UNARY, ids=lambda function: function.__name__)
def test_functions_are_the_loop_in_c(function: Any, fmt: sf.Format) -> None:
    """Bits, flags and counts of a function of one value are those of the loop, on arrays and Numbers; its
    constants are correctly rounded, in wide formats too.
    """
    values = corners(fmt)
    numbers = list(values)
    check_against_loop(lambda: [UNARY[function](x) for x in numbers], lambda: function(values))
    check_against_loop(lambda: [UNARY[function](x) for x in numbers], lambda: [function(x) for x in numbers])


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("function", BINARY, ids=lambda function: function.__name__)
def test_functions_of_two_values_are_the_loop_in_c(function: Any, fmt: sf.Format) -> None:
    """The same for two values, which broadcast."""
    values = corners(fmt)[:: 4 if fmt.width <= 32 else 9]
    numbers, loop = list(values), BINARY[function]
    check_against_loop(
        lambda: [[loop(x, y) for y in numbers] for x in numbers], lambda: function(values[:, None], values)
    )
    check_against_loop(lambda: [loop(x, numbers[2]) for x in numbers], lambda: function(values, numbers[2]))
    check_against_loop(lambda: loop(numbers[1], numbers[2]), lambda: function(numbers[1], numbers[2]))


# -- numpy --------------------------------------------------------------------------------------------------


@pytest.mark.filterwarnings("ignore:invalid value:RuntimeWarning")
@pytest.mark.parametrize("fmt", HOSTS, ids=repr)
@pytest.mark.parametrize("function", [*UNARY, *BINARY], ids=lambda function: function.__name__)
def test_values_are_near_numpy_s(function: Any, fmt: sf.Format) -> None:
    """Each comes as near numpy's value in doubles as its few roundings let it."""
    values = fmt.array([0.0, 0.3, -0.3, 1.0, 2.5, -2.5, 7.3, -1.0, 0.0, np.nan])
    operands = (values, np.roll(values, 3))[: 2 if function in BINARY else 1]
    result = function(*operands).to_numpy(np.float64)
    unit = 2.0 ** (1 - fmt.precision)
    expected = function(*(operand.to_numpy(np.float64) for operand in operands))
    np.testing.assert_allclose(result, expected, rtol=3 * unit, atol=4 * unit)


def test_zeros_of_sinc_are_exact() -> None:
    """At whole numbers it is zero, where numpy's is what rounding pi leaves."""
    values: Any = sf.binary32.array([1.0, -1.0, 2.0, 1e7])
    assert [0.0] * 4 == np.sinc(values).to_numpy().tolist()


def test_a_sum_of_powers_that_are_out_of_range() -> None:
    """The logarithm of a sum is there where the powers overflow, or are zeros."""
    values: Any = sf.binary32.array([1000.0, -1000.0])
    np.testing.assert_allclose(np.logaddexp(values, values).to_numpy(), [1000.6931, -999.3069], rtol=1e-7)
    assert [1001.0, -999.0] == np.logaddexp2(values, values).to_numpy().tolist()


# -- counts by hand -----------------------------------------------------------------------------------------

COUNTS: dict[Any, dict[str, int]] = {
    np.cbrt: {"rootn": 4},
    np.radians: {"multiplication": 4},
    np.degrees: {"multiplication": 4},
    # The first element is zero.
    np.sinc: {"compare_quiet_equal": 4, "sin_pi": 3, "multiplication": 3, "division": 3},
    np.angle: {"atan2": 4},
}


@pytest.mark.parametrize("function", COUNTS, ids=lambda function: function.__name__)
def test_counts_of_an_element(function: Any) -> None:
    """Each element takes the operations of the side that it comes to."""
    with sf.counting() as tally:
        function(a)
    assert {(name, "binary32"): calls for name, calls in COUNTS[function].items()} == tally.calls


def test_counts_of_the_sum_of_two_powers() -> None:
    """Two of the four pairs are equal: an addition of a constant each; the others go on."""
    with sf.counting() as tally:
        np.logaddexp(a, sf.binary32(2.0))
    expected = {
        "compare_quiet_equal": 4, "compare_quiet_greater": 2, "subtraction": 2, "exp": 2, "logp1": 2,
        "addition": 4,
    }  # fmt: skip
    assert {(name, "binary32"): calls for name, calls in expected.items()} == tally.calls


def test_angles_in_degrees() -> None:
    """deg= takes a multiplication more; a complex value has the angle of its two parts."""
    values = np.array([1 + 1j, -2.0 - 2.0j, 3j])
    emulated = sf.binary32.complex_array(values)
    with sf.counting() as tally:
        radians, degrees, single = np.angle(emulated), np.angle(emulated, deg=True), np.angle(emulated[0])
    np.testing.assert_allclose(np.angle(values), radians.to_numpy(), rtol=1e-7)
    assert [45.0, -135.0, 90.0] == degrees.to_numpy().tolist()
    assert radians[0] == single
    assert {("atan2", "binary32"): 7, ("multiplication", "binary32"): 3} == tally.calls
    assert sf.binary32(180.0) == np.angle(x, deg=True)


def test_results_go_into_arrays() -> None:
    """out= and where= work as for any element-wise function."""
    out = a.copy()
    with sf.counting() as tally:
        assert np.cbrt(a, out=out, where=np.array([True, False, False, True])) is out
    assert [0.0, 2.0, -0.75, float(np.float32(2 ** (1 / 3)))] == out.to_numpy().tolist()
    assert {("rootn", "binary32"): 2} == tally.calls
