"""numpy's element-wise functions that are more than one operation, each as C's function would be written.

A condition is counted for every element that comes to it, and what follows only where it is taken, as the
branches of a C function are.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from softfloat_py.errors import NotEmulatedError
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import (
    addition,
    compare_quiet_equal,
    compare_quiet_greater,
    compare_quiet_less,
    compare_quiet_not_equal,
    compare_quiet_unordered,
    copy_sign,
    is_finite,
    is_infinite,
    log_b,
    maximum,
    minimum,
    next_down,
    next_up,
    round_to_integral_ties_to_even,
    round_to_integral_toward_zero,
    scale_b,
    subtraction,
)
from softfloat_py.numbers.numpy_calls.choosing import choose


def _first(x: Any, *others: Any) -> Any:
    return x


def _second(x: Any, y: Any) -> Any:
    return y


def nextafter(x1: Any, x2: Any) -> Any:
    """The neighbour of x1 towards x2; x2 where they are equal, a NaN where one is a NaN (C's nextafter).

    Counted for each element: compare_quiet_unordered, where it holds an addition that makes the NaN; else
    compare_quiet_equal; where that does not hold compare_quiet_less and next_up or next_down.
    """

    def step(x: Any, y: Any) -> Any:
        return choose(compare_quiet_less(x, y), _up, _down, x, y)

    def of_numbers(x: Any, y: Any) -> Any:
        return choose(compare_quiet_equal(x, y), _second, step, x, y)

    return choose(compare_quiet_unordered(x1, x2), addition, of_numbers, x1, x2)


def _up(x: Any, *others: Any) -> Any:
    return next_up(x)


def _down(x: Any, *others: Any) -> Any:
    return next_down(x)


def spacing(x: Any) -> Any:
    """The distance from x to its neighbour away from zero, with the sign of x; NaN for an infinity.

    Counted for each element: compare_quiet_less with zero, next_up or next_down, subtraction, which is an
    invalid operation for an infinity.
    """
    return subtraction(choose(compare_quiet_less(x, 0), _down, _up, x), x)


def sign(x: Any) -> Any:
    """1, -1, +0 or, for a NaN, the NaN.

    Counted for each element: compare_quiet_greater with zero, and as far as none held compare_quiet_less and
    compare_quiet_equal.
    """
    fmt = x.format

    def not_above(x: Any) -> Any:
        return choose(compare_quiet_less(x, 0), lambda x: fmt(-1), not_below, x)

    def not_below(x: Any) -> Any:
        return choose(compare_quiet_equal(x, 0), lambda x: fmt(0), _first, x)

    return choose(compare_quiet_greater(x, 0), lambda x: fmt(1), not_above, x)


def modf(x: Any) -> tuple[Any, Any]:
    """What stands after the point and what stands before it, both with the sign of x.

    Counted for each element: round_to_integral_toward_zero, is_infinite, except for infinities a
    subtraction, and copy_sign.
    """
    whole = round_to_integral_toward_zero(x)
    zero = x.format(0)
    fraction = choose(is_infinite(x), lambda x, whole: zero, subtraction, x, whole)
    return copy_sign(fraction, x), whole


def frexp(x: Any) -> tuple[Any, Any]:
    """A significand of magnitude 1/2 to 1 and the exponent of two beside it: x = significand × 2^exponent.

    The exponent is an int, or an array of int32. Zeros, infinities and NaNs are delivered as they are, beside
    the exponent 0. Counted for each element: is_finite, compare_quiet_not_equal with zero, and where both
    hold log_b and scale_b, which is exact. The one more on the exponent is integer arithmetic of the program.
    """
    ordinary = is_finite(x) & compare_quiet_not_equal(x, 0)
    if np.ndim(ordinary) == 0:
        exponent = log_b(x) + 1 if ordinary else 0
        return (scale_b(x, -exponent) if ordinary else x), exponent
    exponents = np.zeros(np.shape(x), np.int32)
    exponents[ordinary] = log_b(x[ordinary]) + 1
    significands = x.copy()
    significands[ordinary] = scale_b(x[ordinary], -exponents[ordinary])
    return significands, exponents


def ldexp(x1: Any, x2: Any) -> Any:
    """x1 × 2^x2, x2 an integer or an array of integers of 32 bits. Counted as scale_b for each element."""
    return scale_b(x1, x2)


# Rows of functions that numpy calls its ufuncs, on values.
COMPOSED: dict[np.ufunc, Any] = {
    np.nextafter: nextafter,
    np.spacing: spacing,
    np.sign: sign,
    np.modf: modf,
    np.frexp: frexp,
    np.ldexp: ldexp,
}


def clip(
    a: Any, a_min: Any = None, a_max: Any = None, out: Any = None, *, min: Any = None, max: Any = None
) -> Any:
    """The operation maximum with the lower limit, then minimum with the upper one; a limit may be None.

    The limits are constants or emulated values, single ones or arrays that broadcast, given by position or as
    min= and max=. `out` is an array of the format that receives the result, `a` itself for example.
    """
    lower, upper = (a_min if min is None else min), (a_max if max is None else max)
    result = a if lower is None else maximum(a, lower)
    result = result if upper is None else minimum(result, upper)
    return np.positive(result, out=out)


def round_to_integers(a: Any, decimals: int = 0) -> Any:
    """The nearest integral value, of two the even one: round_to_integral_ties_to_even for each element.

    numpy's round to more decimals multiplies, rounds and divides, which is not the nearest decimal: write
    that out where it is meant.
    """
    if decimals != 0:
        raise NotEmulatedError("numpy.round to decimals", "rint, beside multiplication and division by 10")
    return round_to_integral_ties_to_even(a)


def fix(x: Any) -> Any:
    """The integral value towards zero: round_to_integral_toward_zero for each element."""
    return round_to_integral_toward_zero(x)


def isposinf(x: Emulated) -> Any:
    """Whether an element is +infinity: compare_quiet_equal with it."""
    return compare_quiet_equal(x, _infinity(x, negative=False))


def isneginf(x: Emulated) -> Any:
    """Whether an element is -infinity: compare_quiet_equal with it."""
    return compare_quiet_equal(x, _infinity(x, negative=True))


def _infinity(x: Emulated, *, negative: bool) -> Any:
    return x.format.value_of(x.format.infinity_of_sign(negative))
