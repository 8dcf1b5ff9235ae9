"""Products and quotients where one side may be a constant of the program, folded as a compiler folds them.

Two constants make a third, exact until it meets an emulated value; a constant 1 leaves nothing to compute.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

from softfloat_py.errors import OperandError
from softfloat_py.numbers.constants import exactly, is_real
from softfloat_py.numbers.functions import division, multiplication
from softfloat_py.numbers.number import Number


def step_of(function: str, value: Any) -> Any:
    """A spacing or a period as a program has it: a Number as it is, a constant exactly.

    Raises OperandError for anything else, a constant 0, an infinity or a NaN.
    """
    if isinstance(value, Number):
        return value
    if not is_real(value) or not isfinite(value) or value == 0:
        raise OperandError(f"{function} needs a Number or a finite constant that is not 0, not {value!r}")
    return exactly(value)


def product(x: Any, y: Any) -> Any:
    """x × y, a multiplication for each element unless both are constants, or one is the constant 1."""
    if is_real(x) and is_real(y):
        return exactly(x) * exactly(y)
    if is_real(x) and x == 1:
        return y
    return x if is_real(y) and y == 1 else multiplication(x, y)


def quotient(x: Any, y: Any) -> Any:
    """x / y, a division for each element unless both are constants, or y is the constant 1."""
    if is_real(x) and is_real(y):
        return exactly(x) / exactly(y)
    return x if is_real(y) and y == 1 else division(x, y)
