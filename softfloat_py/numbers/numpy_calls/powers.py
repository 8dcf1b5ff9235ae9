"""Powers as C programmers write them: products for a whole exponent, a quotient, a root.

x ** n for a whole n > 0 is squaring and multiplying: from the exponent's highest bit downwards, the result so
far, at first x, is squared for each further bit, and multiplied by x where that bit is set. So x ** 2 is
x * x, x ** 3 is x * x * x, and x ** 4 the square of x * x. For n < 0 one division follows, 1 / x ** -n.
x ** 0 is the constant 1 and x ** 1 is x; neither computes anything. x ** 0.5 is square_root, and x ** -0.5
the division 1 / square_root(x). With any other constant as its exponent, or with an emulated one, it is pow.

A whole exponent is an integer variable or a constant of the program. What is done with it is integer
arithmetic, which nothing here counts.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import Any

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.applying import note_operand
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.array_constants import storage
from softfloat_py.numbers.constants import is_real, refusal
from softfloat_py.numbers.elementary_functions import pow
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import division, multiplication, scale_b, square_root
from softfloat_py.numbers.operands import REFUSED
from softfloat_py.numbers.value_system import ValueSystem


def power(x1: Any, x2: Any) -> Any:
    """x1 to the power of x2: a number of any type, or integers or emulated values in an array, by element.

    Counted for each element by its exponent n: from 2 on, as many multiplications as n has binary digits
    after the first, and one more for each 1 among those; below 0 the same for -n, then a division; nothing
    for 0 and 1; square_root for 0.5, and a division after it for -0.5; pow for any other constant and for an
    emulated exponent, whatever its value. As this arithmetic has it, x ** 0 is 1 for a NaN too, x ** 0.5 is
    -0 for -0 and a NaN for -infinity, and other fractions of numbers below zero are NaNs.

    Raises OperandError for what is no number, and for an array of host floats.
    """
    exponent = x2[()] if isinstance(x2, np.ndarray) else x2
    if type(exponent) is int:
        return _whole_power(x1, exponent)
    if isinstance(exponent, Emulated):
        return pow(x1, exponent)
    if np.ndim(exponent):
        return _powers_by_exponent(x1, np.asarray(exponent))
    if not is_real(exponent):
        return _no_exponent(x1.format, exponent)
    if abs(exponent) < inf and exponent == int(exponent):
        return _whole_power(x1, int(exponent))
    if abs(exponent) == 0.5:
        root = square_root(x1)
        return root if exponent > 0 else division(1, root)
    note_operand(exponent)
    return pow(x1, exponent)


def power_of_constant(fmt: ValueSystem, base: Any, exponent: Any) -> Any:
    """`base ** exponent` where the base is a constant and the program computes the exponent, an integer.

    Of base 2 it is scale_b of 1, C's ldexp(1, n), counted as one call an element; of others `power`.
    """
    if base == 2 and not isinstance(exponent, Emulated):
        return scale_b(fmt(1), exponent)
    return power(fmt(base), exponent)


def _whole_power(x: Any, n: int) -> Any:
    if n == 0:
        return np.ones_like(x)
    if n < 0:
        return division(1, _products(x, -n))
    return +x if n == 1 else _products(x, n)


def _products(x: Any, n: int) -> Any:
    """x to the power of n > 0, by squaring and multiplying."""
    result = x
    for digit in f"{n:b}"[1:]:
        result = multiplication(result, result)
        if digit == "1":
            result = multiplication(result, x)
    return result


def _powers_by_exponent(x: Any, exponents: Any) -> FloatArray:
    """Elements with equal exponents go together."""
    if exponents.dtype.kind not in "iu":
        raise OperandError(
            f"an array of exponents must have integers, not {exponents.dtype}; write exponents.astype(int) "
            f"where all are whole, else {x.format.name}.array(exponents)"
        )
    shape = np.broadcast_shapes(np.shape(x), exponents.shape)
    bases, exponents = np.broadcast_to(x, shape), np.broadcast_to(exponents, shape)
    result = FloatArray._of(x.format, np.empty(shape, storage(x.format)))
    for n in np.unique(exponents).tolist():
        result[exponents == n] = _whole_power(bases[exponents == n], n)
    return result


def _no_exponent(fmt: ValueSystem, exponent: Any) -> Any:
    """What `power` gives, or raises, for an exponent of a kind that is no number here."""
    if isinstance(exponent, REFUSED) or hasattr(exponent, "dtype"):
        raise refusal("an exponent beside numbers", fmt.name, exponent)
    return NotImplemented


# Rows of functions that numpy calls its ufuncs; float_power stays in the format of the base.
ROWS: dict[Callable[..., Any], Callable[..., Any]] = {np.power: power, np.float_power: power}
