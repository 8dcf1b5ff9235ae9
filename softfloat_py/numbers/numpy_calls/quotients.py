"""Python's // and %, divmod, and numpy's functions of the same names.

What they deliver is said by The Python Language Reference, section 6.7: x == (x // y) * y + x % y as nearly
as rounding allows, where x // y is whole and x % y has the sign of y and a magnitude below that of y. As in
Python, the remainder comes from C's fmod, which is exact, and the quotient from what that leaves over.

A zero divisor raises no ZeroDivisionError: as in IEEE 754 and in numpy, the remainder is a NaN (invalid
operation) and the quotient that of the division (an infinity and division by zero, or a NaN).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.numbers.functions import (
    addition,
    compare_quiet_equal,
    compare_quiet_greater,
    compare_quiet_less,
    compare_quiet_not_equal,
    copy_sign,
    division,
    is_sign_minus,
    remainder_truncated,
    round_to_integral_toward_negative,
    subtraction,
)
from softfloat_py.numbers.numpy_calls.choosing import also, choose, in_one_shape


def remainder(x1: Any, x2: Any) -> Any:
    """x1 - x2 × floor(x1 / x2), with the sign of x2, as Python's % has it.

    Counted for each element: remainder_truncated, C's fmod, which is exact, and compare_quiet_not_equal of
    its result with zero. Where it is not zero, two compare_quiet_less for the signs and, where they differ,
    the addition of x2, which rounds; where it is zero, copy_sign from x2.
    """
    x, y = in_one_shape(x1, x2)
    rest = remainder_truncated(x, y)
    uneven, across = _to_correct(rest, y)
    return _rest_beside(y, rest, uneven, across)


def floor_divide(x1: Any, x2: Any) -> Any:
    """The greatest whole number that is not above x1 / x2, as Python's // has it; a zero has its sign.

    Counted for each element: compare_quiet_equal of x2 with zero and, where it is, division. Elsewhere
    remainder_truncated, compare_quiet_not_equal and compare_quiet_less as `remainder` counts them, then a
    subtraction and a division; where the signs differ a subtraction of 1; compare_quiet_not_equal of this
    quotient with zero. Where it is not zero, round_to_integral_toward_negative, and, as rounding may have
    lost nearly 1, a subtraction, compare_quiet_greater with 1/2, and where that holds an addition of 1.
    Where it is zero, two is_sign_minus.
    """

    def floored(x: Any, y: Any) -> Any:
        rest = remainder_truncated(x, y)
        return _whole_quotient(x, y, rest, _to_correct(rest, y)[1])

    x, y = in_one_shape(x1, x2)
    return choose(compare_quiet_equal(y, 0), division, floored, x, y)


def quotient_and_remainder(x1: Any, x2: Any) -> tuple[Any, Any]:
    """x1 // x2 and x1 % x2, as Python's divmod has them.

    Counted for each element: what `remainder` counts, and compare_quiet_equal of x2 with zero; where it is,
    division, elsewhere what `floor_divide` counts from its subtraction on.
    """
    x, y = in_one_shape(x1, x2)
    rest = remainder_truncated(x, y)
    uneven, across = _to_correct(rest, y)
    quotient = choose(
        compare_quiet_equal(y, 0), lambda x, y, *_: division(x, y), _whole_quotient, x, y, rest, across
    )
    return quotient, _rest_beside(y, rest, uneven, across)


def _to_correct(rest: Any, y: Any) -> tuple[Any, Any]:
    """Whether fmod left something over, and whether that has another sign than the divisor."""
    uneven = compare_quiet_not_equal(rest, 0)
    return uneven, also(uneven, _signs_differ, rest, y)


def _signs_differ(rest: Any, y: Any) -> Any:
    return compare_quiet_less(rest, 0) != compare_quiet_less(y, 0)


def _rest_beside(y: Any, rest: Any, uneven: Any, across: Any) -> Any:
    """What fmod left over, with the divisor's sign."""
    signed = choose(uneven, _first, copy_sign, rest, y)
    return choose(across, addition, _first, signed, y)


def _whole_quotient(x: Any, y: Any, rest: Any, across: Any) -> Any:
    """The quotient of operands of which fmod left `rest`; 1 less where that is `across` from the divisor."""
    exact = division(subtraction(x, rest), y)
    quotient = choose(across, lambda quotient: subtraction(quotient, 1), _first, exact)
    return choose(compare_quiet_not_equal(quotient, 0), _rounded_down, _signed_zero, quotient, x, y)


def _rounded_down(quotient: Any, *_: Any) -> Any:
    """What is whole but for rounding, as a whole number."""
    whole = round_to_integral_toward_negative(quotient)
    lost = compare_quiet_greater(subtraction(quotient, whole), 0.5)
    return choose(lost, lambda whole: addition(whole, 1), _first, whole)


def _signed_zero(quotient: Any, x: Any, y: Any) -> Any:
    zero, below = x.format(0.0), x.format(-0.0)
    negative = is_sign_minus(x) != is_sign_minus(y)
    return choose(negative, lambda quotient: below, lambda quotient: zero, quotient)


def _first(x: Any, *_: Any) -> Any:
    return x


# Rows of functions that numpy calls its ufuncs.
ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.remainder: remainder,
    np.floor_divide: floor_divide,
    np.divmod: quotient_and_remainder,
}
