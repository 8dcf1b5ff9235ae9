"""Looking for a place in a table by bisection, as a plain C loop does.

What stands in a table is picked by an index while the program runs, so comparing with it is counted, whether
the table is constant or not.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np

from softfloat_py.engines.arrays.words import as_array, to_ints
from softfloat_py.errors import OperandError
from softfloat_py.numbers.applying import apply_in_turn
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.operands import format_of
from softfloat_py.operations import OPERATIONS, Operation

LESS = OPERATIONS["compare_signaling_less"]
LESS_EQUAL = OPERATIONS["compare_signaling_less_equal"]
SIDES = {"left": LESS_EQUAL, "right": LESS}


def bisected(table: FloatArray, keys: Emulated, comparison: Operation, ahead: bool) -> Any:
    """For each key the first place of an ascending table where the comparison does not give `ahead`.

    An int for a Number, an array of them for a FloatArray. Counted for each key: the comparison, at most
    ceil(log2(n + 1)) times for n elements in the table.
    """
    elements, bits = to_ints(table._bits), as_array(keys._bits, keys.format.width)

    def search_all(compare: Callable[[int, int], int]) -> list[int]:
        def search(key: int) -> int:
            low, high = 0, len(elements)
            while low < high:
                middle = (low + high) // 2
                if compare(key, elements[middle]) == ahead:
                    low = middle + 1
                else:
                    high = middle
            return low

        return [search(key) for key in to_ints(bits)]

    return np.array(apply_in_turn(comparison, table.format, search_all), np.intp).reshape(bits.shape)[()]


def searchsorted(a: Any, v: Any, side: str = "left", sorter: Any = None) -> Any:
    """The places for elements of v in the ascending sequence a: before equal ones, or after them.

    Bisection: with side="left" compare_signaling_less_equal of v with the element in the middle, with "right"
    compare_signaling_less, at most ceil(log2(n + 1)) times for each element of v. A NaN in v comes last; a
    itself must have none. Either may be constants. The places are integers of the host.
    """
    if side not in SIDES:
        raise OperandError(f"side of numpy.searchsorted must be one of {', '.join(SIDES)}, not {side!r}")
    table = _table("numpy.searchsorted", a, v)
    keys = FloatArray._of(table.format, encodings_for(table.format, v, "numpy.searchsorted"))
    return bisected(table if sorter is None else table[np.asarray(sorter)], keys, SIDES[side], ahead=False)


def digitize(x: Any, bins: Any, right: bool = False) -> Any:
    """Which bin each element of x falls in: the place i with bins[i - 1] <= x < bins[i], 0 or n beyond them.

    With `right`, bins[i - 1] < x <= bins[i]; where the bins descend, the other way round (numpy.digitize).
    Counted as `searchsorted`. Whether bins ascend or descend is known where the program is written, and not
    counted.
    """
    table = _table("numpy.digitize", bins, x)
    side = "left" if right else "right"
    if ascends(table):
        return searchsorted(table, x, side)
    if not ascends(table[::-1]):
        raise OperandError("numpy.digitize needs bins that ascend or descend, not some of each")
    return len(table) - searchsorted(table[::-1], x, side)


def _table(function: str, table: Any, keys: Any) -> FloatArray:
    fmt = format_of((table, keys))
    bits = encodings_for(fmt, table, function)
    if bits.ndim != 1:
        raise OperandError(f"{function} searches a sequence of numbers, not an array of {bits.ndim} axes")
    return FloatArray._of(fmt, bits)


def ascends(table: FloatArray) -> bool:
    """Whether the values of a table never descend, seen from their encodings."""
    ranks = map(table.format.rank, to_ints(table._bits))
    return all(first <= second for first, second in pairwise(ranks))


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.searchsorted: searchsorted,
    np.digitize: digitize,
}
