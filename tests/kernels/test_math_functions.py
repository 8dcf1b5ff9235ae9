"""Python's `math` in a kernel: one operation for each elementary function, and those that are several."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.kernels.math_functions import NEAREST, OF_INTS, ROWS
from tests.engines.running import reference, used
from tests.kernels.counted import calls, run

b = sf.binary32
EVEN = sf.Rounding.TIES_TO_EVEN

# The operation that stands for a function, and operands within its domain.
OPERATIONS: dict[str, tuple[str, tuple[float, ...]]] = {
    "exp": ("exp", (1.7,)),
    "exp2": ("exp2", (-1.7,)),
    "expm1": ("expm1", (0.02,)),
    "log": ("log", (3.3,)),
    "log2": ("log2", (3.3,)),
    "log10": ("log10", (3.3,)),
    "log1p": ("logp1", (0.02,)),
    "sin": ("sin", (2.3,)),
    "cos": ("cos", (2.3,)),
    "tan": ("tan", (2.3,)),
    "asin": ("asin", (0.6,)),
    "acos": ("acos", (0.6,)),
    "atan": ("atan", (4.1,)),
    "atan2": ("atan2", (-0.7, -4.1)),
    "sinh": ("sinh", (1.3,)),
    "cosh": ("cosh", (1.3,)),
    "tanh": ("tanh", (1.3,)),
    "asinh": ("asinh", (1.3,)),
    "acosh": ("acosh", (1.3,)),
    "atanh": ("atanh", (0.3,)),
    "hypot": ("hypot", (0.7, -2.1)),
    "pow": ("pow", (1.7, 2.3)),
}


@pytest.mark.parametrize("name", [name for name in OPERATIONS if hasattr(math, name)])
def test_an_elementary_function_is_one_operation(name: str) -> None:
    """It counts one call, has MPFR's value of the numbers it was given, and is near the host's."""
    operation, operands = OPERATIONS[name]
    function: Callable[..., float] = getattr(math, name)

    def kernel(*operands):  # type: ignore[no-untyped-def]
        return function(*operands)

    result, counts = run(kernel, *operands)
    bits = tuple(b(operand).bits for operand in operands)
    assert reference(used(operation, b, sf.LEAN), EVEN, bits)[0] == result.bits
    assert function(*operands) == pytest.approx(float(result), rel=1e-6)
    assert {operation: 1} == counts


@pytest.mark.parametrize(
    "name", [name for name in vars(math) if callable(getattr(math, name)) and name[0] != "_"]
)
def test_every_function_of_math_is_emulated_or_has_its_own_advice(name: str) -> None:
    """No function of math is refused without a word on what to write instead."""
    assert name in {*ROWS, *OF_INTS} or name in NEAREST


@pytest.mark.parametrize("name", ["erf", "erfc", "gamma", "lgamma"])
def test_functions_that_are_no_operation_are_refused(name: str) -> None:
    """The standard has none of them; the sentence says what to write."""
    function = getattr(math, name)

    def kernel(x):  # type: ignore[no-untyped-def]
        return function(x)

    with pytest.raises(
        sf.NotEmulatedError, match=rf"^math\.{name} is not.*a polynomial or a table of your own$"
    ):
        run(kernel, 0.5)


def test_the_logarithm_of_a_constant_base_is_a_constant() -> None:
    """A compiler has computed it, so that one logarithm and a division are left; a variable's is computed."""

    def to_ten(x):  # type: ignore[no-untyped-def]
        return math.log(x, 10), math.log(x, 2.5)

    def to_variable(x, base):  # type: ignore[no-untyped-def]
        return math.log(x, base)

    def to_length(x, values):  # type: ignore[no-untyped-def]
        return math.log(x, len(values))

    result, counts = run(to_ten, 7.0)
    natural = sf.log(b(7.0))
    assert (natural / b(math.log(10)), natural / b(math.log(2.5))) == result
    assert {"log": 2, "division": 2} == counts
    assert (sf.log(b(7.0)) / sf.log(b(10.0)), {"log": 2, "division": 1}) == run(to_variable, 7.0, 10.0)
    assert {"log": 2, "division": 1, "convert_from_integer": 1} == calls(to_length, 7.0, [0, 0, 0])


def test_a_base_without_a_quotient_is_left_to_the_target() -> None:
    """It has an infinity, a zero or a NaN where Python raises an error; the NaN is computed by the run."""

    def kernel(x):  # type: ignore[no-untyped-def]
        return math.log(x, 1), math.log(x, 0), math.log(x, -2.0)

    (to_one, to_zero, to_negative), counts = run(kernel, 7.0)
    assert (math.inf, 0.0) == (to_one, to_zero)
    assert sf.is_nan(to_negative)
    assert {"log": 5, "division": 3} == counts


def test_distances_of_several_coordinates_go_from_the_left() -> None:
    """hypot of two, then of that and the next; a distance takes the differences first."""

    def length(x, y, z):  # type: ignore[no-untyped-def]
        return math.hypot(x, y, z), math.hypot(x)

    def between(p, q):  # type: ignore[no-untyped-def]
        return math.dist(p, q)

    x, y, z = b(0.3), b(-0.4), b(1.2)
    assert ((sf.hypot(sf.hypot(x, y), z), x), {"hypot": 2, "absolute": 1}) == run(length, 0.3, -0.4, 1.2)
    expected = sf.hypot(sf.hypot(x - b(0.1), y - b(0.2)), z - b(0.3))
    assert (expected, {"hypot": 2, "subtraction": 3}) == run(between, [0.3, -0.4, 1.2], (0.1, 0.2, 0.3))
    with pytest.raises(ValueError, match="shorter"):
        run(between, [0.3, -0.4], [0.1])


def test_powers_are_products_roots_or_the_operation_pow() -> None:
    """A whole constant is products; another constant, and what a run computes, is pow, whatever the base."""

    def kernel(x, y, n):  # type: ignore[no-untyped-def]
        return x**3, x**0.5, x**1.5, x**y, 10**x, 2.5**y, n**1.5, math.pow(x, 2), math.pow(2, y)

    result, counts = run(kernel, 1.3, 2.0, 3)
    x, y, n = b(1.3), b(2.0), b(3.0)
    powers = [(x, b(1.5)), (x, y), (b(10), x), (b(2.5), y), (n, b(1.5))]
    expected = (x * x * x, sf.square_root(x), *(sf.pow(*each) for each in powers), x * x, sf.pow(b(2), y))
    assert expected == result
    assert {"multiplication": 3, "square_root": 1, "pow": 6, "convert_from_integer": 1} == counts


def test_cube_roots_and_angles() -> None:
    """cbrt is rootn, of negative numbers too; radians and degrees are products with constants."""

    def kernel(x):  # type: ignore[no-untyped-def]
        return math.radians(x), math.degrees(x)

    x: Any = b(-2.5)
    assert (x * b(math.pi / 180), x * b(180 / math.pi)) == run(kernel, -2.5)[0]
    assert {"multiplication": 2} == calls(kernel, -2.5)
    if hasattr(math, "cbrt"):
        cube_root = run(lambda x: math.cbrt(x), -2.5)
        assert (sf.rootn(x, 3), {"rootn": 1}) == cube_root


def test_ints_that_are_data_are_converted() -> None:
    """`math.log(n)` of a length converts it; `math.log(8)` is a constant."""

    def kernel(x, values):  # type: ignore[no-untyped-def]
        return math.log(len(values)), x * math.log(8)

    assert {"convert_from_integer": 1, "log": 1, "multiplication": 1} == calls(kernel, 0.5, [0.5, 0.5])
