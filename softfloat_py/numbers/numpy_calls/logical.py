"""numpy's logical functions and its step function, as C's !, && and || and its branches compute them.

A value is true if it differs from zero, as in C's `if (x)`; a NaN does. The bools and integers of the program
may stand beside emulated values; asking them is not counted.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import (
    compare_quiet_equal,
    compare_quiet_greater,
    compare_quiet_less,
    compare_quiet_not_equal,
)
from softfloat_py.numbers.numpy_calls.choosing import also, choose, in_one_shape


def is_known(value: Any) -> bool:
    """Whether the program knows a value's truth by itself: bools and integers, and single constants."""
    if isinstance(value, Emulated):
        return False
    return np.ndim(value) == 0 or np.asarray(value).dtype.kind in "biu"


def truth(x: Any) -> Any:
    """Whether a value differs from zero: compare_quiet_not_equal of an emulated one, else not counted."""
    return compare_quiet_not_equal(x, 0) if isinstance(x, Emulated) else np.not_equal(x, 0)


def logical_and(x1: Any, x2: Any) -> Any:
    """C's x1 && x2. Counted for each element: compare_quiet_not_equal of x1, and where it holds of x2."""
    x, y = in_one_shape(x1, x2)
    return also(truth(x), truth, y)


def logical_or(x1: Any, x2: Any) -> Any:
    """C's x1 || x2. Counted for each element: compare_quiet_not_equal of x1, and where it fails of x2."""
    x, y = in_one_shape(x1, x2)
    holds = truth(x)
    return holds | also(np.logical_not(holds), truth, y)


def logical_xor(x1: Any, x2: Any) -> Any:
    """C's !x1 != !x2. Counted for each element: compare_quiet_not_equal of x1 and of x2."""
    x, y = in_one_shape(x1, x2)
    return truth(x) != truth(y)


def logical_not(x: Any) -> Any:
    """C's !x. Counted for each element: compare_quiet_equal with zero."""
    return compare_quiet_equal(x, 0)


def heaviside(x1: Any, x2: Any) -> Any:
    """0 where x1 is below zero, 1 where it is above, x2 where it is a zero, and the NaN where it is one.

    Counted for each element: compare_quiet_less with zero, and as far as none held compare_quiet_greater and
    compare_quiet_equal.
    """
    zero, one = x1.format(0), x1.format(1)

    def not_below(x: Any, y: Any) -> Any:
        return choose(compare_quiet_greater(x, 0), lambda x, y: one, not_above, x, y)

    def not_above(x: Any, y: Any) -> Any:
        return choose(compare_quiet_equal(x, 0), lambda x, y: y, lambda x, y: x, x, y)

    x, y = in_one_shape(x1, x2)
    return choose(compare_quiet_less(x, 0), lambda x, y: zero, not_below, x, y)


# The functions whose operands are asked for their truth alone.
QUESTIONS = frozenset({np.logical_and, np.logical_or, np.logical_xor, np.logical_not})
# Rows of functions that numpy calls its ufuncs.
ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.logical_and: logical_and,
    np.logical_or: logical_or,
    np.logical_xor: logical_xor,
    np.logical_not: logical_not,
    np.heaviside: heaviside,
}
