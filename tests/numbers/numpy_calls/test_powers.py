"""Powers: the products, quotients and roots that a C programmer writes, and refusals for all other powers."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from softfloat_py.numbers.numpy_calls.powers import power_of_constant
from tests import strategies
from tests.numbers.loops import check_against_loop, random_values

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.extended80, sf.ofp8_e4m3]


def cube(x: Any) -> Any:
    """x * x * x, two multiplications."""
    return x * x * x


def square_of(x: Any) -> Any:
    """One multiplication."""
    return x * x


def fourth(x: Any) -> Any:
    """The square of the square, two multiplications."""
    return square_of(square_of(x))


def one(x: Any) -> Any:
    """The constant that x ** 0 is."""
    return x.format(1)


WRITTEN: dict[Any, Callable[[Any], Any]] = {
    0: one,
    1: lambda x: x,
    2: lambda x: x * x,
    3: cube,
    4: fourth,
    5: lambda x: fourth(x) * x,
    6: lambda x: square_of(cube(x)),
    7: lambda x: square_of(cube(x)) * x,
    -1: lambda x: 1 / x,
    -2: lambda x: 1 / (x * x),
    -3: lambda x: 1 / cube(x),
    0.5: sf.square_root,
    -0.5: lambda x: 1 / sf.square_root(x),
}


def corners(fmt: sf.Format) -> Any:
    """The encodings at which arithmetic changes its course."""
    return sf.FloatArray.from_bits(fmt, strategies.corner_encodings(fmt))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("exponent", WRITTEN)
def test_powers_are_what_is_written_out(exponent: Any, fmt: sf.Format) -> None:
    """Bits, flags, calls and steps are those of the products by hand, on arrays and Numbers."""
    values = corners(fmt)
    numbers, written = list(values), WRITTEN[exponent]
    check_against_loop(lambda: [written(x) for x in numbers], lambda: values**exponent)
    check_against_loop(lambda: [written(x) for x in numbers], lambda: np.power(values, exponent))
    check_against_loop(lambda: [written(x) for x in numbers], lambda: [x**exponent for x in numbers])


# By hand, in binary digits: 5 is 101, two more digits and a further 1; 100 is 1100100, six more and two 1s.
PRODUCTS = {2: 1, 3: 2, 4: 2, 5: 3, 6: 3, 7: 4, 8: 3, 9: 4, 10: 4, 15: 6, 16: 4, 31: 8, 64: 6, 100: 8}


@pytest.mark.parametrize("exponent", PRODUCTS)
def test_products_are_few(exponent: int) -> None:
    """A whole exponent takes a multiplication for each further binary digit, and one for each further 1."""
    x = sf.binary64(1.0009765625)
    with sf.counting() as tally:
        x**exponent
    assert {("multiplication", "binary64"): PRODUCTS[exponent]} == tally.calls
    with sf.counting() as tally:
        x**-exponent
    expected = {("multiplication", "binary64"): PRODUCTS[exponent], ("division", "binary64"): 1}
    assert expected == tally.calls


def test_small_whole_powers_are_exact() -> None:
    """Powers of small integers that the format has are those integers."""
    for base in (-3, 2, 7, 10):
        for exponent in range(15):
            assert base**exponent == sf.binary64(base) ** exponent


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@pytest.mark.parametrize("exponent", [1, 2, -1, 0.5])
def test_values_are_numpy_s(exponent: Any) -> None:
    """Where numpy too goes a short way, an array's elements are numpy's on the host."""
    for fmt in (sf.binary16, sf.binary32, sf.binary64):
        values = corners(fmt)
        host = values.to_numpy()
        np.testing.assert_array_equal(host**exponent, (values**exponent).to_numpy())


@pytest.mark.parametrize(
    "exponent",
    [
        2,
        2.0,
        Fraction(4, 2),
        np.int8(2),
        np.uint64(2),
        np.float32(2),
        np.longdouble(2),
        np.array(2),
        np.array(2.0),
    ],
    ids=lambda exponent: type(exponent).__name__,
)
@pytest.mark.parametrize("value", [sf.binary32(1.25), sf.binary32.array([1.25, -3.0])])
def test_whole_exponents_of_any_type(value: Any, exponent: Any) -> None:
    """An exponent may be whole in any type of number."""
    with sf.counting() as tally:
        result = value**exponent
        np.float_power(value, exponent)
        pow(value, exponent)
    assert str(value * value) == str(result)
    assert {("multiplication", "binary32"): 3 * np.size(value)} == tally.calls


def test_arrays_of_exponents_go_element_by_element() -> None:
    """Each element takes the products of its own exponent; shapes broadcast, numbers too."""
    values = random_values(sf.binary32, 3, 5)
    exponents = np.array([3, -1, 0, 2, 3], np.int16)
    numbers = values.tolist()
    check_against_loop(
        lambda: [[x ** int(n) for x, n in zip(row, exponents, strict=True)] for row in numbers],
        lambda: values**exponents,
    )
    check_against_loop(
        lambda: [numbers[1][2] ** int(n) for n in exponents], lambda: numbers[1][2] ** exponents
    )
    assert (values[0] ** exponents).bits.tolist() == np.power(values[0], exponents.tolist()).bits.tolist()
    assert (0, 2) == (values[:0, :2] ** np.array([1, 2])).shape


def test_results_go_into_arrays() -> None:
    """`**=`, out= and where= put powers into an array; a mask computes only what it names."""
    values = random_values(sf.binary32, 6)
    host, array = values.to_numpy(), values.copy()
    storage = array.bits
    array **= 2
    np.testing.assert_array_equal(host * host, sf.binary32.array_from_bits(storage).to_numpy())
    mask = np.arange(6) < 4
    for exponent, expected in ((2, host * host), (0.5, np.sqrt(np.abs(host)))):
        bases, out = (values if exponent == 2 else abs(values)), values.copy()
        with sf.counting() as tally:
            np.power(bases, exponent, out=out, where=mask)
        np.testing.assert_array_equal(np.where(mask, expected, host), out.to_numpy())
        assert 4 == tally.total_calls


def test_a_constant_to_a_power_that_the_program_computes() -> None:
    """A base of 2 is scaling the constant 1, as C's ldexp; another base its products."""
    with sf.counting() as tally:
        powers = [power_of_constant(sf.binary32, 2.0, n) for n in range(-3, 4)]
        halves = power_of_constant(sf.binary32, 2, -np.arange(4))
    assert [2.0**n for n in range(-3, 4)] == [float(x) for x in powers]
    assert [1, 0.5, 0.25, 0.125] == halves.to_numpy().tolist()
    assert {("scale_b", "binary32"): 11} == tally.calls
    with sf.counting() as tally:
        assert 1000 == power_of_constant(sf.binary32, 10.0, 3)
    assert 2 == tally.calls["multiplication", "binary32"]


x: Any = sf.binary32(1.5)
a: Any = sf.binary32.array([1.5, 2.5])
EXPONENTS = (
    "whole exponents, which are products, 0.5 and -0.5; for 1.5 write x * square_root(x), for 2 ** n with an "
    "int n scale_b(x.format(1), n); a power function comes with the elementary functions"
)


@pytest.mark.parametrize(
    ("base", "exponent", "function"),
    [
        (x, 1.7, "a power with the exponent 1.7"),
        (a, Fraction(1, 3), "a power with the exponent 1/3"),
        (x, math.inf, "a power with the exponent inf"),
        (x, math.nan, "a power with the exponent nan"),
        (x, x, "a power with an emulated exponent"),
        (2.0, x, "a power with an emulated exponent"),
        (np.float64(2), a, "a power with an emulated exponent"),
    ],
)
def test_powers_that_need_a_power_function_are_refused(base: Any, exponent: Any, function: str) -> None:
    """Other fractions and emulated exponents say what there is and what to write, and count nothing."""
    for raised in (operator.pow, np.power, np.float_power):
        with sf.counting() as tally, pytest.raises(sf.NotEmulatedError) as caught:
            raised(base, exponent)
        assert (function, EXPONENTS) == (caught.value.function, caught.value.nearest)
        assert {} == tally.calls


@pytest.mark.parametrize(
    ("exponent", "message"),
    [
        (
            True,
            r"^an exponent beside numbers of binary32 needs an int, a float or a Fraction, not True \(bool\)",
        ),
        ("2", r"^an exponent beside numbers of binary32 needs .* not '2' \(str\)"),
        (
            np.array([1.0, 2.0]),
            r"^an array of exponents must have integers, not float64; where all",
        ),
        ([0.5, 2], r"^an array of exponents must have integers, not float64"),
    ],
)
def test_exponents_are_numbers(exponent: Any, message: str) -> None:
    """Any other exponent is an error with its type; an unknown type is left to Python."""
    for base in (x, a):
        with pytest.raises(sf.OperandError, match=message):
            base**exponent
        with pytest.raises(TypeError, match="unsupported operand"):
            base**None


def test_pow_takes_no_modulus() -> None:
    """The third operand of Python's pow is for ints."""
    with pytest.raises(sf.OperandError, match=r"^pow of emulated values needs two operands"):
        pow(x, 2, 3)
