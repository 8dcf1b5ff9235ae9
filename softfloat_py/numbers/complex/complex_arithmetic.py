"""Complex arithmetic on pairs of a real and an imaginary part, as the plain C formulas have it.

The parts are Numbers or FloatArrays of one format; every step is an operation of the table. The formulas are
those of textbooks (common practice, no source), which C compilers use where Annex G of the C standard is not
asked for (GCC's -fcx-limited-range; from memory): no case of infinities and NaNs is mended, and no quotient
or magnitude is scaled, so squares may overflow or underflow. A real operand stays one, as C has it (C17,
6.3.1.8; from memory).
"""

from __future__ import annotations

from typing import Any, NamedTuple

from softfloat_py.numbers import functions
from softfloat_py.numbers.functions import (
    compare_quiet_equal,
    compare_quiet_not_equal,
    division,
    multiplication,
    square_root,
)


class Pair(NamedTuple):
    """A value's real part and its imaginary one, which is None for a real value."""

    real: Any
    imag: Any = None


def addition(x: Pair, y: Pair) -> Pair:
    """x + y: two additions; one if an operand is real."""
    if x.imag is None or y.imag is None:
        return Pair(functions.addition(x.real, y.real), +(y.imag if x.imag is None else x.imag))
    return Pair(functions.addition(x.real, y.real), functions.addition(x.imag, y.imag))


def subtraction(x: Pair, y: Pair) -> Pair:
    """x - y: two subtractions; one for a real y; one and a negate for a real x."""
    real = functions.subtraction(x.real, y.real)
    if y.imag is None:
        return Pair(real, +x.imag)
    return Pair(real, functions.negate(y.imag) if x.imag is None else functions.subtraction(x.imag, y.imag))


def product(x: Pair, y: Pair) -> Pair:
    """x × y = (ac - bd) + (ad + bc) i: four multiplications, a subtraction and an addition.

    A real factor takes two multiplications.
    """
    if x.imag is None:
        return Pair(multiplication(x.real, y.real), multiplication(x.real, y.imag))
    if y.imag is None:
        return Pair(multiplication(x.real, y.real), multiplication(x.imag, y.real))
    real = functions.subtraction(multiplication(x.real, y.real), multiplication(x.imag, y.imag))
    return Pair(real, functions.addition(multiplication(x.real, y.imag), multiplication(x.imag, y.real)))


def quotient(x: Pair, y: Pair) -> Pair:
    """x / y = ((ac + bd) + (bc - ad) i) / (cc + dd): six multiplications, two additions, a subtraction and
    two divisions.

    A real y takes two divisions; a real x leaves b out: four multiplications, an addition, a negate and two
    divisions.
    """
    if y.imag is None:
        return Pair(division(x.real, y.real), division(x.imag, y.real))
    square = _squared(y)
    if x.imag is None:
        rotated = functions.negate(multiplication(x.real, y.imag))
        return Pair(division(multiplication(x.real, y.real), square), division(rotated, square))
    real = functions.addition(multiplication(x.real, y.real), multiplication(x.imag, y.imag))
    imag = functions.subtraction(multiplication(x.imag, y.real), multiplication(x.real, y.imag))
    return Pair(division(real, square), division(imag, square))


def negation(x: Pair) -> Pair:
    """-x: two operations negate."""
    return Pair(functions.negate(x.real), functions.negate(x.imag))


def conjugation(x: Pair) -> Pair:
    """x with its imaginary part negated: one operation negate."""
    return Pair(+x.real, functions.negate(x.imag))


def magnitude(x: Pair) -> Any:
    """The square root of aa + bb: two multiplications, an addition, a square root, without any scaling."""
    return square_root(_squared(x))


def _squared(x: Pair) -> Any:
    return functions.addition(multiplication(x.real, x.real), multiplication(x.imag, x.imag))


def equality(x: Pair, y: Pair) -> Any:
    """Whether both parts are equal: two compare_quiet_equal, whatever the first says."""
    return compare_quiet_equal(x.real, y.real) & compare_quiet_equal(*_imaginary(x, y))


def inequality(x: Pair, y: Pair) -> Any:
    """Whether a part differs: two compare_quiet_not_equal, whatever the first says."""
    return compare_quiet_not_equal(x.real, y.real) | compare_quiet_not_equal(*_imaginary(x, y))


def _imaginary(x: Pair, y: Pair) -> tuple[Any, Any]:
    """The imaginary parts, where a real value's is the constant zero."""
    return (0, y.imag) if x.imag is None else (x.imag, 0 if y.imag is None else y.imag)
