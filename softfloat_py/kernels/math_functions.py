"""Python's `math` in a kernel: each function as the operations that the target has for it, or refused."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.kernels.world import World
from softfloat_py.numbers import elementary_functions, functions
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import (
    absolute,
    addition,
    compare_quiet_greater,
    compare_quiet_less_equal,
    division,
    multiplication,
    subtraction,
)
from softfloat_py.numbers.integer_data import Literal
from softfloat_py.numbers.numpy_calls import refusals, transcendental
from softfloat_py.numbers.numpy_calls.refusals import ANYTHING_ELSE

# Functions of ints alone, and those for which Python asks the number itself.
OF_INTS = ("ceil", "comb", "factorial", "floor", "gcd", "isqrt", "lcm", "perm", "trunc")


def emulated_function(world: World, function: Callable[..., Any]) -> Callable[..., Any]:
    """A function of math in a kernel: what it is given is emulated first, an int that is data converted."""
    name = function.__name__

    @functools.wraps(function)
    def called(*arguments: Any, **keywords: Any) -> Any:
        if name in OF_INTS:
            return function(*arguments)
        if name not in ROWS:
            raise NotEmulatedError(f"math.{name}", NEAREST.get(name, ANYTHING_ELSE))
        if name == "log" and len(arguments) == 2:
            return _logarithm_to(world, *arguments)
        exponent = EXPONENTS.get(name)
        given = [
            world.written(argument) if place == exponent else _number(world, argument)
            for place, argument in enumerate(arguments)
        ]
        return ROWS[name](*given, **{key: _number(world, value) for key, value in keywords.items()})

    return called


def _number(world: World, value: Any) -> Any:
    """An argument as an emulated value; sequences as arrays of such."""
    if isinstance(value, Emulated):
        return value
    if isinstance(value, list | tuple):
        return [_number(world, element) for element in value]
    return world.part(value)


def _logarithm_to(world: World, x: Any, base: Any) -> Any:
    """The quotient of two natural logarithms, as Python has it; that of a constant base is a constant."""
    logarithm, written = elementary_functions.log(_number(world, x)), world.written(base)
    if (type(base) is Literal or world.is_constant(base)) and written > 0:
        return division(logarithm, math.log(written))
    return division(logarithm, elementary_functions.log(_number(world, base)))


# -- rows ---------------------------------------------------------------------------------------------


def _isclose(a: Any, b: Any, *, rel_tol: Any = 1e-9, abs_tol: Any = 0.0) -> bool:
    """|a - b| <= max(rel_tol × max(|a|, |b|), abs_tol), by these operations; infinities as Python has them.

    Counted: compare_quiet_equal; where it does not hold a subtraction, three absolute, two comparisons for
    the larger ones, a multiplication and compare_quiet_less_equal.
    """
    if functions.compare_quiet_equal(a, b):
        return True
    distance = absolute(subtraction(a, b))
    allowed = _larger(multiplication(_larger(absolute(a), absolute(b)), rel_tol), abs_tol)
    return bool(compare_quiet_less_equal(distance, allowed))


def _larger(x: Any, y: Any) -> Any:
    return x if compare_quiet_greater(x, y) else y


def _product(iterable: Any, *, start: Any = 1) -> Any:
    """The running product, a multiplication for each element."""
    return functools.reduce(multiplication, iterable, start)


def _dot(p: Any, q: Any) -> Any:
    """The sum of products in order, starting with the first: n multiplications, n - 1 additions."""
    return functools.reduce(addition, (multiplication(x, y) for x, y in zip(p, q, strict=True)))


def _power(x: Any, y: Any) -> Any:
    return x**y


def _hypot(*coordinates: Any) -> Any:
    """hypot of the first two, of that and the third, and so on; of a single one its magnitude."""
    if not coordinates:
        raise OperandError("math.hypot and math.dist need at least one coordinate, not none")
    return (
        functools.reduce(elementary_functions.hypot, coordinates)
        if len(coordinates) > 1
        else absolute(*coordinates)
    )


def _dist(p: Any, q: Any) -> Any:
    """The same of the differences of coordinates, a subtraction for each."""
    return _hypot(*(subtraction(x, y) for x, y in zip(p, q, strict=True)))


# What to write instead of a function without a row; most are numpy's by another name.
NEAREST = {
    **refusals.NEAREST,
    **dict.fromkeys(("erf", "erfc", "gamma", "lgamma"), refusals.OWN_SERIES),
    "fsum": "sum(values), which rounds every addition as the target does",
}
# Where the exponent stands, an int or a constant that is taken as it is written.
EXPONENTS = {"ldexp": 1, "pow": 1}
ROWS: dict[str, Callable[..., Any]] = {
    "sqrt": functions.square_root,
    "fabs": functions.absolute,
    "fmod": functions.remainder_truncated,
    "remainder": functions.remainder,
    "fma": functions.fused_multiply_add,
    "copysign": functions.copy_sign,
    "isnan": functions.is_nan,
    "isinf": functions.is_infinite,
    "isfinite": functions.is_finite,
    "ldexp": np.ldexp,
    "frexp": np.frexp,
    "modf": np.modf,
    "nextafter": np.nextafter,
    "ulp": lambda x: absolute(np.spacing(x)),
    "radians": transcendental.to_radians,
    "degrees": transcendental.to_degrees,
    "isclose": _isclose,
    "prod": _product,
    "sumprod": _dot,
    "pow": _power,
    "exp": elementary_functions.exp,
    "exp2": elementary_functions.exp2,
    "expm1": elementary_functions.expm1,
    "log": elementary_functions.log,
    "log2": elementary_functions.log2,
    "log10": elementary_functions.log10,
    "log1p": elementary_functions.logp1,
    "sin": elementary_functions.sin,
    "cos": elementary_functions.cos,
    "tan": elementary_functions.tan,
    "asin": elementary_functions.asin,
    "acos": elementary_functions.acos,
    "atan": elementary_functions.atan,
    "atan2": elementary_functions.atan2,
    "sinh": elementary_functions.sinh,
    "cosh": elementary_functions.cosh,
    "tanh": elementary_functions.tanh,
    "asinh": elementary_functions.asinh,
    "acosh": elementary_functions.acosh,
    "atanh": elementary_functions.atanh,
    "hypot": _hypot,
    "dist": _dist,
    "cbrt": transcendental.cbrt,
}
