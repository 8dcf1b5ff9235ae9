"""Which elements there are, each once, and whether one is among others: comparisons, each counted."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np

from softfloat_py.engines.arrays.words import as_array, from_ints, to_ints
from softfloat_py.numbers.applying import apply_in_turn
from softfloat_py.numbers.array import FloatArray, arrays_for
from softfloat_py.numbers.functions import compare_quiet_equal
from softfloat_py.numbers.numpy_calls.ordering import sorted_places
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS

NOT_EQUAL = OPERATIONS["compare_quiet_not_equal"]


def unique(
    ar: Any,
    return_index: bool = False,
    return_inverse: bool = False,
    return_counts: bool = False,
    *,
    equal_nan: bool = True,
) -> Any:
    """The elements in ascending order, each once, as numpy.unique has them; of zeros the first that comes.

    A stable merge sort, counted as `ordering` says, then for n elements that are no NaNs n - 1 times
    compare_quiet_not_equal with the one before. NaNs, which the sort has met, are one element, or with
    equal_nan=False each one its own. Places and counts are integers of the host.
    """
    fmt, encodings = ar.format, to_ints(as_array(ar._bits, ar.format.width))
    order = np.array(sorted_places(fmt, encodings), np.intp)
    ordered = [encodings[place] for place in order]
    differs = _differ_from_the_one_before(fmt, ordered, equal_nan)
    starts = np.flatnonzero(differs)
    results: list[Any] = [FloatArray._of(fmt, from_ints([ordered[start] for start in starts], fmt.width))]
    if return_index:
        results.append(order[starts])
    if return_inverse:
        inverse = np.empty(len(order), np.intp)
        inverse[order] = np.cumsum(differs) - 1
        results.append(inverse.reshape(np.shape(ar)))
    if return_counts:
        results.append(np.diff(starts, append=len(order)))
    return results[0] if len(results) == 1 else tuple(results)


def _differ_from_the_one_before(fmt: ValueSystem, ordered: list[int], equal_nan: bool) -> list[bool]:
    """Whether an element in order is not equal to the one before it, of NaNs as `equal_nan` says."""
    nans = [fmt.is_nan(bits) for bits in ordered]
    numbers = len(ordered) - sum(nans)
    pairs = list(pairwise(ordered[:numbers]))
    differs = apply_in_turn(NOT_EQUAL, fmt, lambda call: [bool(call(*pair)) for pair in pairs])
    first = [True] if numbers else []
    return first + differs + [not equal_nan or place == 0 for place in range(sum(nans))]


def isin(element: Any, test_elements: Any, assume_unique: bool = False, invert: bool = False) -> Any:
    """Whether each element is among others, or with `invert` is not: a loop that ends at the first equal one.

    Counted: compare_quiet_equal of an element with each of the others in turn, until one is equal. A NaN is
    equal to none.
    """
    values, others = arrays_for("numpy.isin", element, test_elements)
    flat, found = values.ravel(), np.zeros(values.size, bool)
    for other in others.ravel():
        found[~found] = compare_quiet_equal(flat[~found], other)
    return (found ^ invert).reshape(np.shape(element))[()]


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.unique: unique,
    np.isin: isin,
}
