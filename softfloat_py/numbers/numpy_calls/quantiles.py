"""Medians, quantiles and ranges: a sort, whose comparisons are counted, then what lies between two elements.

Elements are sorted whole, by the merge sort of `ordering`, and counted as that: is_nan for each, and
compare_quiet_less. A NaN among them, which the sort has met, makes the result one at no further cost. Which
elements a quantile lies between, and how far, follows from numbers of the program, and is not counted.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from math import ceil, floor, nan
from typing import Any

import numpy as np

from softfloat_py.engines.arrays.words import to_ints
from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.constants import constant, is_real
from softfloat_py.numbers.functions import addition, division, multiplication, subtraction
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.numpy_calls.lines import Lines
from softfloat_py.numbers.numpy_calls.ordering import sort
from softfloat_py.numbers.numpy_calls.reductions import reduced

# What a number is made of: elements in ascending order, none of them a NaN.
Pick = Callable[[FloatArray], Any]

# Continuous definitions of a quantile by Hyndman and Fan, with their alpha and beta, from numpy.quantile.
CONTINUOUS = {
    "interpolated_inverted_cdf": (0, 1),
    "hazen": (1 / 2, 1 / 2),
    "weibull": (0, 0),
    "median_unbiased": (1 / 3, 1 / 3),
    "normal_unbiased": (3 / 8, 3 / 8),
}
# Of "linear", whose alpha and beta are 1, and of those beside it: what becomes of a place among the elements.
FROM_END_TO_END: dict[str, Callable[[float], float]] = {
    "linear": float,
    "lower": floor,
    "higher": ceil,
    "nearest": round,
    "midpoint": lambda place: (floor(place) + ceil(place)) / 2,
}


def median(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The element in the middle, or the mean of the two there, of all or along axes (numpy.median).

    Counted for each result: the sort, and for an even number of elements an addition and a division by 2.
    """
    return _picked(a, axis, keepdims, [_middle])[0]


def nanmedian(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The median of the elements that are no NaNs, as `median` has and counts it; a NaN if there are none."""
    return _picked(a, axis, keepdims, [_middle], leave_out_nans=True)[0]


def quantile(a: Any, q: Any, axis: Any = None, *, method: str = "linear", keepdims: bool = False) -> Any:
    """What a share q, from 0 to 1, of the elements lies below, of all or along axes (numpy.quantile).

    With elements x and y beside its place, at a distance t from x, it is x + (y - x) × t, from t = 1/2 on
    y - (y - x) × (1 - t). Shares are constants: one, or several, whose results stand along a first axis.
    Methods are the continuous ones, lower, higher, nearest and midpoint. Counted for each line of elements:
    the sort; for each share that falls between two elements a subtraction, a multiplication and an addition
    or subtraction.
    """
    return _quantiles("numpy.quantile", a, q, 1, axis, method, keepdims)


def percentile(a: Any, q: Any, axis: Any = None, *, method: str = "linear", keepdims: bool = False) -> Any:
    """As `quantile`, with q from 0 to 100 (numpy.percentile)."""
    return _quantiles("numpy.percentile", a, q, 100, axis, method, keepdims)


def ptp(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The largest element less the smallest, of all or along axes (numpy.ptp).

    Counted for each result of n elements: n - 1 times maximum, n - 1 times minimum, and a subtraction.
    """
    return subtraction(*(reduced(extreme, a, axis, keepdims) for extreme in (np.maximum, np.minimum)))


def _quantiles(function: str, a: Any, q: Any, whole: int, axis: Any, method: str, keepdims: bool) -> Any:
    if method not in FROM_END_TO_END and method not in CONTINUOUS:
        raise NotEmulatedError(f"method={method!r} of {function}", ", ".join((*FROM_END_TO_END, *CONTINUOUS)))
    shares = np.array(q, object)
    for share in shares.flat:
        if not is_real(share) or not 0 <= share <= whole:
            raise OperandError(
                f"{function} needs q as constants from 0 to {whole}, known where the program is written, "
                f"not {share!r}"
            )
    picks = [partial(_at_share, share=float(share) / whole, method=method) for share in shares.flat]
    results = _picked(a, axis, keepdims, picks)
    if shares.ndim == 0:
        return results[0]
    return np.stack(results).reshape(*shares.shape, *np.shape(results[0]))


def _picked(
    a: Any, axis: Any, keepdims: bool, picks: Sequence[Pick], leave_out_nans: bool = False
) -> list[Any]:
    """What each function picks from each line of elements, once they are sorted."""
    lines = Lines(a, axis)
    columns = [_of_line(line, picks, leave_out_nans) for line in sort(lines.array)]
    return [lines.numbers([column[place] for column in columns], keepdims) for place in range(len(picks))]


def _of_line(line: FloatArray, picks: Sequence[Pick], leave_out_nans: bool) -> list[Number]:
    fmt = line.format
    nans = sum(map(fmt.is_nan, to_ints(line._bits)))
    if nans == len(line) or (nans and not leave_out_nans):
        return [Number._of(fmt, constant(fmt, nan))] * len(picks)
    numbers = line[: len(line) - nans]
    return [pick(numbers) for pick in picks]


def _middle(ordered: FloatArray) -> Any:
    half = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[half]
    return division(addition(ordered[half - 1], ordered[half]), 2)


def _at_share(ordered: FloatArray, share: float, method: str) -> Any:
    last = len(ordered) - 1
    if method in CONTINUOUS:
        alpha, beta = CONTINUOUS[method]
        place = (last + 1) * share + (alpha + share * (1 - alpha - beta)) - 1
        place = min(max(place, 0), last)
    else:
        place = FROM_END_TO_END[method](last * share)
    below, distance = floor(place), place - floor(place)
    if distance == 0:
        return ordered[below]
    lower, upper = ordered[below], ordered[below + 1]
    step = subtraction(upper, lower)
    if distance < 1 / 2:
        return addition(lower, multiplication(step, distance))
    return subtraction(upper, multiplication(step, 1 - distance))


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.median: median,
    np.nanmedian: nanmedian,
    np.quantile: quantile,
    np.percentile: percentile,
    np.ptp: ptp,
}
