"""Complex numbers: pairs of Numbers, with the formulas of plain C."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop

FORMATS = [sf.binary16, sf.binary32, sf.binary128, sf.ofp8_e4m3]
z: Any = sf.binary32.complex_number(1.5 - 2j)
w: Any = sf.binary32.complex_number(-0.75 + 0.1j)


def parts_of(value: Any) -> list[Any]:
    """Real and imaginary parts, at no cost."""
    return [value.real, value.imag]


def same_loop(loop: Callable[[], Any], whole: Callable[[], Any]) -> None:
    """Whether a complex result, its flags and its counts are those of a loop over Numbers."""
    check_against_loop(loop, lambda: parts_of(whole()))


def pair_for(fmt: sf.Format, seed: int) -> tuple[Any, Any, Any]:
    """A complex number, and its parts as Numbers."""
    a, b = map(fmt, np.random.default_rng(seed).normal(size=2))
    return fmt.complex_number(a, b), a, b


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_arithmetic_of_complex_numbers(fmt: sf.Format) -> None:
    """Sums take two operations, products six, quotients eleven: the formulas without scaling."""
    (x, a, b), (y, c, d) = pair_for(fmt, 1), pair_for(fmt, 2)
    same_loop(lambda: [a + c, b + d], lambda: x + y)
    same_loop(lambda: [a - c, b - d], lambda: x - y)
    same_loop(lambda: [a * c - b * d, a * d + b * c], lambda: x * y)

    def quotient() -> Any:
        square = c * c + d * d
        return [(a * c + b * d) / square, (b * c - a * d) / square]

    same_loop(quotient, lambda: x / y)
    same_loop(lambda: [-a, -b], lambda: -x)
    same_loop(lambda: [a, -b], lambda: x.conj())
    same_loop(lambda: [a, b], lambda: +x)
    check_against_loop(lambda: sf.square_root(a * a + b * b), lambda: abs(x))
    check_against_loop(lambda: bool((a == c) & (b == d)), lambda: x == y)
    check_against_loop(lambda: bool((a != c) | (b != d)), lambda: x != y)


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_a_real_operand_stays_real(fmt: sf.Format) -> None:
    """A real value, emulated or constant, on either side takes the operations that C has for it."""
    (x, a, b), real = pair_for(fmt, 1), fmt(0.75)
    for c in (real, 0.75, np.float32(0.75)):
        number = fmt(c)
        same_loop(lambda c=number: [a + c, b], lambda c=c: x + c)  # type: ignore[misc]
        same_loop(lambda c=number: [c + a, b], lambda c=c: c + x)  # type: ignore[misc]
        same_loop(lambda c=number: [a - c, b], lambda c=c: x - c)  # type: ignore[misc]
        same_loop(lambda c=number: [c - a, -b], lambda c=c: c - x)  # type: ignore[misc]
        same_loop(lambda c=number: [a * c, b * c], lambda c=c: x * c)  # type: ignore[misc]
        same_loop(lambda c=number: [c * a, c * b], lambda c=c: c * x)  # type: ignore[misc]
        same_loop(lambda c=number: [a / c, b / c], lambda c=c: x / c)  # type: ignore[misc]

    def quotient() -> Any:
        square = a * a + b * b
        return [real * a / square, -(real * b) / square]

    same_loop(quotient, lambda: real / x)
    check_against_loop(lambda: bool((a == real) & (b == 0)), lambda: x == real)


@pytest.mark.parametrize("constant", [2j, 1 - 0.1j, np.complex64(0.5 + 1j), np.complex128(3j)])
def test_complex_constants(constant: Any) -> None:
    """A complex constant on either side is rounded once, and computed with as a complex value."""
    fmt = sf.binary32
    made = fmt.complex_number(constant)
    assert [fmt(constant.real).bits, fmt(constant.imag).bits] == [made.real.bits, made.imag.bits]
    for combine in (
        lambda x, y: x + y,
        lambda x, y: x - y,
        lambda x, y: x * y,
        lambda x, y: x / y,
    ):
        same_loop(lambda f=combine: parts_of(f(z, made)), lambda f=combine: f(z, constant))  # type: ignore[misc]
        same_loop(lambda f=combine: parts_of(f(made, z)), lambda f=combine: f(constant, z))  # type: ignore[misc]
    assert made == constant
    assert constant == made
    assert not z == constant  # noqa: SIM201


def test_products_are_numpy_s() -> None:
    """In binary64, whose formula for a product is the host's, they have the host's bits."""
    values = np.random.default_rng(4).normal(size=(20, 4))
    for a, b, c, d in values:
        product = sf.binary64.complex_number(a, b) * sf.binary64.complex_number(c, d)
        assert complex(a * c - b * d, a * d + b * c) == complex(product)
        quotient = sf.binary64.complex_number(a, b) / complex(c, d)
        assert complex(a, b) / complex(c, d) == pytest.approx(complex(quotient), rel=1e-14)


def test_making_complex_numbers() -> None:
    """Of a constant, a Number, two parts, or a complex number of the format, which is not counted."""
    x = sf.binary32(0.1)
    with sf.counting() as tally:
        made = [
            sf.binary32.complex_number(x),
            sf.binary32.complex_number(x, 2),
            sf.binary32.complex_number(1, x),
            sf.binary32.complex_number(z),
        ]
    assert ["0.1+0.0j", "0.1+2.0j", "1.0+0.1j", "1.5-2.0j"] == list(map(str, made))
    assert {} == tally.calls
    assert sf.binary32 == z.format


@pytest.mark.parametrize(
    ("error", "message", "make"),
    [
        (
            sf.OperandError,
            r"^binary32\.complex_number needs two real parts",
            lambda f: f.complex_number(1j, 1),
        ),
        (
            sf.OperandError,
            r"^binary32\.complex_number of binary32 needs an int",
            lambda f: f.complex_number("1"),
        ),
        (sf.OperandError, r"^a complex constant of binary32 needs", lambda f: f.complex_number(None)),
        (sf.OperandError, r"^a complex constant of binary32 needs", lambda f: f.complex_number(f.array([1]))),
        (sf.MixedFormatsError, r"needs operands of one format", lambda f: f.complex_number(sf.binary16(1))),
        (sf.MixedFormatsError, r"^complex addition needs", lambda f: z + sf.binary16.complex_number(1j)),
        (sf.MixedFormatsError, r"^complex product needs operands", lambda f: sf.binary16(1) * z),
        (sf.HostFloatError, r"binary32\.complex_array\(values\)$", lambda f: z * np.array([1j])),
        (sf.HostFloatError, r"binary32\.complex_array\(values\)$", lambda f: f(1) * np.array([1j])),
        (sf.OperandError, r"make a value of the format of it: binary32\.complex_number", lambda f: f(1) * 1j),
    ],
)
def test_what_is_refused(error: Any, message: str, make: Callable[[Any], Any]) -> None:
    """Other formats, host arrays and what is no number say what to write."""
    with pytest.raises(error, match=message):
        make(sf.binary32)


def test_operators_that_complex_numbers_have_not() -> None:
    """Order, powers, conversion to a float and hashing are errors; foreign types are left to Python."""
    refused: list[Any] = [lambda: z < w, lambda: w >= 1, lambda: z**2, lambda: z @ w]
    for compute in refused:
        with pytest.raises(sf.NotEmulatedError):
            compute()
    left_to_python: list[Any] = [lambda: float(z), lambda: hash(z), lambda: z + None, lambda: z // 2]
    for python_s in left_to_python:
        with pytest.raises(TypeError):
            python_s()
    assert (False, True) == (z == "1.5", z != "1.5")


def test_truth_copies_and_pickles() -> None:
    """A number is true unless both parts are zero, which takes two comparisons; copies are itself."""
    with sf.counting() as tally:
        truths = [bool(z), bool(sf.binary32.complex_number(-0.0)), bool(sf.binary32.complex_number(1j))]
    assert [True, False, True] == truths
    assert {("compare_quiet_not_equal", "binary32"): 6} == tally.calls
    assert copy.copy(z) is z is copy.deepcopy(z)
    assert repr(z) == repr(pickle.loads(pickle.dumps(z)))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_repr_makes_the_number_again(fmt: sf.Format) -> None:
    """Whatever the parts are: zeros of both signs, infinities, NaNs, more digits than a float has."""
    for real in (0.1, -0.0, float("inf"), float("nan"), 3):
        number = fmt.complex_number(fmt(real), sf.square_root(fmt(2)))
        again = eval(repr(number), {**vars(sf)})
        assert parts_of(number)[0].bits == again.real.bits
        assert number.imag.bits == again.imag.bits


def test_text_of_complex_numbers() -> None:
    """str has both signs, the notebook's form the format."""
    assert "1.5-2.0j" == str(z)
    assert "1.500-2.000j" == f"{z:.3f}"
    assert "+1.5e+00+2.0e+00j" == f"{z.conj():+.1e}"
    assert "inf+nanj" == str(sf.binary32.complex_number(float("inf"), float("nan")))
    assert "<p>binary32, complex</p><pre>1.5-2.0j</pre>" == z._repr_html_()
    assert 1.5 - 2j == complex(z)
