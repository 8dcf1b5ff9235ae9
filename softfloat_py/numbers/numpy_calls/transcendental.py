"""numpy's functions made of elementary functions, each as C's function would be written.

Elementary functions of the standard themselves are rows of the table of operations, one call an element.
A condition is counted for every element that comes to it, and what follows only where it is taken. The
constants π/180, 180/π, π and ln 2 are rounded to the format from values with many more bits.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from typing import Any

import numpy as np

from softfloat_py.numbers.elementary_functions import atan2, exp, exp2, log2p1, logp1, rootn, sin_pi
from softfloat_py.numbers.functions import (
    addition,
    compare_quiet_equal,
    compare_quiet_greater,
    division,
    multiplication,
    subtraction,
)
from softfloat_py.numbers.numpy_calls.choosing import choose
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.routines.elementary import reals

Function = Callable[[Any], Any]
SPARE = 64  # bits that a constant has beside those of the format


@lru_cache(maxsize=64)
def _pi(fmt: ValueSystem) -> Fraction:
    bits = fmt.width + SPARE
    return Fraction(reals.pi(bits), 1 << bits)


@lru_cache(maxsize=64)
def _ln_2(fmt: ValueSystem) -> Fraction:
    bits = fmt.width + SPARE
    return Fraction(reals.ln(Fraction(2), bits), 1 << bits)


def cbrt(x: Any) -> Any:
    """The cube root: rootn(x, 3) for each element."""
    return rootn(x, 3)


def to_radians(x: Any) -> Any:
    """x × π/180: a multiplication by a constant for each element."""
    return multiplication(x, _pi(x.format) / 180)


def to_degrees(x: Any) -> Any:
    """x × 180/π: a multiplication by a constant for each element."""
    return multiplication(x, 180 / _pi(x.format))


def logaddexp(x1: Any, x2: Any) -> Any:
    """log(exp(x1) + exp(x2)): the larger exponent, to which logp1(exp(smaller - larger)) is added.

    Counted for each element: compare_quiet_equal; where it holds, as for two infinities, an addition of the
    constant ln 2; else compare_quiet_greater, subtraction, exp, logp1 and addition.
    """
    return _of_sum(x1, x2, _ln_2(x1.format), exp, logp1)


def logaddexp2(x1: Any, x2: Any) -> Any:
    """log2(2^x1 + 2^x2), as `logaddexp` with exp2 and log2p1; of two equal ones an addition of 1."""
    return _of_sum(x1, x2, 1, exp2, log2p1)


def _of_sum(x1: Any, x2: Any, of_two: Any, power: Function, logarithm_plus_one: Function) -> Any:
    """The logarithm of the sum of two powers; `of_two` is the logarithm of 2."""

    def from_larger(larger: Any, smaller: Any) -> Any:
        return addition(larger, logarithm_plus_one(power(subtraction(smaller, larger))))

    def from_smaller(smaller: Any, larger: Any) -> Any:
        return from_larger(larger, smaller)

    def of_unequal(x: Any, y: Any) -> Any:
        return choose(compare_quiet_greater(x, y), from_larger, from_smaller, x, y)

    def of_equal(x: Any, y: Any) -> Any:
        return addition(x, of_two)

    return choose(compare_quiet_equal(x1, x2), of_equal, of_unequal, x1, x2)


def sinc(x: Any) -> Any:
    """sin(πx) / (πx), and 1 for zero.

    Counted for each element: compare_quiet_equal with zero and, where that does not hold, sin_pi, a
    multiplication by the constant π and a division. sin_pi makes zeros of whole numbers, exactly.
    """

    def one(x: Any) -> Any:
        return np.ones_like(x)

    def quotient(x: Any) -> Any:
        return division(sin_pi(x), multiplication(x, _pi(x.format)))

    return choose(compare_quiet_equal(x, 0), one, quotient, x)


def angle(z: Any, deg: bool = False) -> Any:
    """The angle of a real value, 0 or π: atan2(0, z) for each element, and for degrees `to_degrees`.

    Complex values have it too, of their two parts.
    """
    return angle_of_parts(z, np.zeros_like(z), deg)


def angle_of_parts(real: Any, imag: Any, deg: bool) -> Any:
    """atan2(imag, real) for each element; for degrees, a multiplication by the constant 180/π more."""
    radians = atan2(imag, real)
    return to_degrees(radians) if deg else radians


# Rows of functions that numpy calls its ufuncs, and of others.
UFUNC_ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.cbrt: cbrt,
    np.deg2rad: to_radians,
    np.radians: to_radians,
    np.rad2deg: to_degrees,
    np.degrees: to_degrees,
    np.logaddexp: logaddexp,
    np.logaddexp2: logaddexp2,
}
ROWS: dict[Callable[..., Any], Callable[..., Any]] = {np.sinc: sinc, np.angle: angle}
