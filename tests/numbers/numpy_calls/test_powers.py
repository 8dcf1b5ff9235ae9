"""Powers: the products, quotients and roots that a C programmer writes, and pow for all others."""

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
from tests.references import rational

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.extended80, sf.ofp8_e4m3]
x: Any = sf.binary32(1.5)
a: Any = sf.binary32.array([1.5, 2.5])


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


OTHERS = [1.7, -2.5, Fraction(1, 3), np.float32(0.1), np.longdouble("0.1"), math.inf, math.nan]
RAISED = [operator.pow, np.power, np.float_power]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("exponent", OTHERS, ids=repr)
def test_other_constants_are_exponents_of_pow(exponent: Any, fmt: sf.Format) -> None:
    """Any other fraction, an infinity and a NaN take one pow an element, with the constant rounded once."""
    values, of_format = corners(fmt), fmt(exponent)
    numbers = list(values)
    check_against_loop(lambda: [sf.pow(x, of_format) for x in numbers], lambda: values**exponent)
    check_against_loop(
        lambda: [sf.pow(x, of_format) for x in numbers], lambda: [x**exponent for x in numbers]
    )


@pytest.mark.parametrize("raised", RAISED)
def test_emulated_exponents_are_those_of_pow(raised: Callable[..., Any]) -> None:
    """The exponent may be a Number or an array, which broadcast."""
    values, exponents = random_values(sf.binary32, 3, 4), random_values(sf.binary32, 4, seed=5)
    rows, single = values.tolist(), exponents[1]
    check_against_loop(
        lambda: [[sf.pow(x, y) for x, y in zip(row, exponents, strict=True)] for row in rows],
        lambda: raised(values, exponents),
    )
    check_against_loop(lambda: [sf.pow(x, single) for x in rows[0]], lambda: raised(values[0], single))
    check_against_loop(lambda: [sf.pow(single, y) for y in exponents], lambda: raised(single, exponents))


@pytest.mark.parametrize("raised", RAISED)
@pytest.mark.parametrize("base", [2, 2.0, 1.5, Fraction(3, 2), np.float64(1.5)], ids=repr)
def test_the_base_may_be_a_constant(base: Any, raised: Callable[..., Any]) -> None:
    """A constant to an emulated power is pow too, of that constant rounded once."""
    exponents = random_values(sf.binary32, 4)
    of_format = sf.binary32(base)
    check_against_loop(lambda: [sf.pow(of_format, y) for y in exponents], lambda: raised(base, exponents))
    check_against_loop(lambda: sf.pow(of_format, exponents[1]), lambda: raised(base, exponents[1]))


@pytest.mark.parametrize("exponent", [2, 0.5, -1, 0])
def test_the_value_of_an_emulated_exponent_is_not_looked_at(exponent: float) -> None:
    """What only a run knows is pow, also where it comes out as a whole number or a half."""
    with sf.counting() as tally:
        x ** sf.binary32(exponent)
        a ** sf.binary32.array([exponent, exponent])
    assert {("pow", "binary32"): 3} == tally.calls


@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary32, sf.binary64, sf.bfloat16], ids=repr)
def test_powers_are_correctly_rounded(fmt: sf.Format) -> None:
    """They have MPFR's bits, and are a NaN for a fraction of a number below zero."""
    values: Any = fmt.array([0.01, 0.5, 1.0, 1.25, 7.0, 40.0, -3.0])
    exponents: Any = fmt.array([1.7, -2.5, 0.1, 3.0])
    expected = [
        [rational.expected("pow", fmt, sf.Rounding.TIES_TO_EVEN, x, y)[0] for y in exponents.bits.tolist()]
        for x in values.bits.tolist()
    ]
    assert expected == (values[:, None] ** exponents).bits.tolist()
    assert np.isnan(values[-1] ** 1.7)


def test_a_host_float_in_the_exponent_is_seen() -> None:
    """An exponent that differs from visit to visit of a line is no constant, and is named."""
    with sf.counting() as tally:
        for exponent in (1.25, 1.5, 1.75):
            x**exponent
    assert [("host operand", 3)] == [(departure.how, times) for departure, times in tally.left.items()]


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
            r"^an array of exponents must have integers, not float64; write exponents\.astype\(int\) where "
            r"all are whole, else binary32\.array\(exponents\)$",
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
