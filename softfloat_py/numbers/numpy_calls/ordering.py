"""Sorting, and where the largest and smallest elements are: each comparison is an operation and counted.

numpy's own way of sorting is not the program's, so it is a merge sort here, which a C program would use where
the order of equal elements has to stay: first the NaNs go to the end (is_nan for each element), then runs of
1, 2, 4 and so on elements are merged, with compare_quiet_less for each comparison. Zeros of both signs are
equal and keep their order. n elements take at most n × ceil(log2 n) comparisons. Of more axes, each line of
elements is sorted by itself. Moving elements is not counted.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_index
from numpy.typing import NDArray

from softfloat_py.engines.arrays.words import as_array, to_ints
from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.applying import apply_in_turn
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation

IS_NAN, LESS = OPERATIONS["is_nan"], OPERATIONS["compare_quiet_less"]
LESS_UNORDERED = OPERATIONS["compare_quiet_less_unordered"]
GREATER_UNORDERED = OPERATIONS["compare_quiet_greater_unordered"]
STABLE = (None, "stable", "mergesort")

# Whether, of two places, what stands at the first is to come before what stands at the second.
Before = Callable[[int, int], bool]


# -- sorting ----------------------------------------------------------------------------------------


def argsort(a: Any, axis: int | None = -1, kind: str | None = None) -> NDArray[np.intp]:
    """The places of the elements in ascending order along an axis, or of all (None); NaNs come last.

    A stable merge sort, counted as this module says; `kind` may be "stable".
    """
    _check_kind("numpy.argsort", kind)
    values, axis = _lined_up(a, axis, "numpy.argsort")
    lines = _lines(values, axis)
    orders = [sorted_places(values.format, to_ints(line)) for line in lines]
    return _back(np.array(orders, np.intp).reshape(lines.shape), values, axis)


def sort(a: Any, axis: int | None = -1, kind: str | None = None) -> FloatArray:
    """A copy in ascending order along an axis, or of all elements (None); NaNs come last.

    A stable merge sort, counted as this module says; `kind` may be "stable".
    """
    _check_kind("numpy.sort", kind)
    values, axis = _lined_up(a, axis, "numpy.sort")
    order = argsort(values, axis)
    return FloatArray._of(values.format, np.take_along_axis(values._bits, order, axis))


def argpartition(a: Any, kth: Any, axis: int | None = -1, kind: str = "introselect") -> NDArray[np.intp]:
    """Places that put the element at kth where it stands in order, between smaller and larger ones.

    They are those of the merge sort of `argsort`, which puts every element there, and are counted as that.
    """
    _check_partition("numpy.argpartition", a, kth, axis, kind)
    return argsort(a, axis)


def partition(a: Any, kth: Any, axis: int | None = -1, kind: str = "introselect") -> FloatArray:
    """A copy with the element at kth where it stands in order, between smaller and larger ones.

    It is the merge sort of `sort`, which puts every element there, and is counted as that.
    """
    _check_partition("numpy.partition", a, kth, axis, kind)
    return sort(a, axis)


def _check_partition(function: str, a: Any, kth: Any, axis: int | None, kind: str) -> None:
    if kind != "introselect":
        raise NotEmulatedError(f"kind={kind!r} of {function}", f"the merge sort of {function} without it")
    values, axis = _lined_up(a, axis, function)
    length = values.shape[axis]
    for place in np.ravel(kth).tolist():
        if not -length <= place < length:
            raise OperandError(f"{function} needs places among {length} elements, not {place}")


def _check_kind(function: str, kind: str | None) -> None:
    if kind not in STABLE:
        raise NotEmulatedError(f"kind={kind!r} of {function}", f"the merge sort of {function} without it")


def sorted_places(fmt: ValueSystem, encodings: list[int]) -> list[int]:
    """The places of encodings in ascending order, equal ones as they stand, NaNs last."""
    nans = apply_in_turn(IS_NAN, fmt, lambda is_nan: list(map(is_nan, encodings)))
    places = [place for place, nan in enumerate(nans) if not nan]
    length = 1
    while length < len(places):
        places = _merge_runs(fmt, encodings, places, length)
        length *= 2
    return places + [place for place, nan in enumerate(nans) if nan]


def _merge_runs(fmt: ValueSystem, encodings: list[int], places: list[int], length: int) -> list[int]:
    """Places whose runs of a length are in order, with each two neighbouring runs merged."""

    def merge_all(less: Callable[[int, int], int]) -> list[int]:
        def before(first: int, second: int) -> bool:
            return less(encodings[first], encodings[second]) == 1

        merged: list[int] = []
        for start in range(0, len(places), 2 * length):
            middle = start + length
            merged += _merge(places[start:middle], places[middle : middle + length], before)
        return merged

    return apply_in_turn(LESS, fmt, merge_all)


def _merge(left: list[int], right: list[int], before: Before) -> list[int]:
    """Two runs in order as one; of equal elements those on the left come first."""
    merged: list[int] = []
    next_left = next_right = 0
    while next_left < len(left) and next_right < len(right):
        if before(right[next_right], left[next_left]):
            merged.append(right[next_right])
            next_right += 1
        else:
            merged.append(left[next_left])
            next_left += 1
    return merged + left[next_left:] + right[next_right:]


# -- the largest and the smallest -------------------------------------------------------------------


def argmax(a: Any, axis: int | None = None, *, keepdims: bool = False) -> Any:
    """The first place of the largest element, along an axis or of all, or of the first NaN if there is one.

    Counted for each line of n elements: is_nan of the first, then for each other, up to a NaN,
    compare_quiet_greater_unordered with the largest so far, and is_nan where that holds.
    """
    return _extreme_places("argmax", GREATER_UNORDERED, a, axis, keepdims)


def argmin(a: Any, axis: int | None = None, *, keepdims: bool = False) -> Any:
    """The first place of the smallest element, along an axis or of all, or of the first NaN if there is one.

    Counted for each line of n elements: is_nan of the first, then for each other, up to a NaN,
    compare_quiet_less_unordered with the smallest so far, and is_nan where that holds.
    """
    return _extreme_places("argmin", LESS_UNORDERED, a, axis, keepdims)


def _extreme_places(function: str, beyond: Operation, a: Any, axis: int | None, keepdims: bool) -> Any:
    values, line_axis = _lined_up(a, axis, f"numpy.{function}")
    lines = _lines(values, line_axis)
    if lines.shape[-1] == 0:
        raise OperandError(f"numpy.{function} needs at least one element, not an empty array")
    places = [_extreme_place(values.format, to_ints(line), beyond) for line in lines]
    kept = [1 if axis is None or place == line_axis else n for place, n in enumerate(np.shape(a))]
    rest = [] if axis is None else [n for place, n in enumerate(values.shape) if place != line_axis]
    if not keepdims and not rest:
        return places[0]
    return np.array(places, np.intp).reshape(kept if keepdims else rest)


def _extreme_place(fmt: ValueSystem, encodings: list[int], beyond: Operation) -> int:
    def search(is_beyond: Callable[[int, int], int], is_nan: Callable[[int], int]) -> int:
        best = 0
        if is_nan(encodings[0]):
            return best
        for place in range(1, len(encodings)):
            if is_beyond(encodings[place], encodings[best]):
                best = place
                if is_nan(encodings[place]):
                    break
        return best

    return apply_in_turn(
        beyond, fmt, lambda is_beyond: apply_in_turn(IS_NAN, fmt, lambda is_nan: search(is_beyond, is_nan))
    )


# -- lines of elements ------------------------------------------------------------------------------


def _lined_up(a: Emulated, axis: int | None, function: str) -> tuple[FloatArray, int]:
    """An array and the axis along which its lines of elements go."""
    bits = as_array(a._bits, a.format.width)
    if axis is None:
        return FloatArray._of(a.format, bits.ravel()), 0
    if bits.ndim == 0:
        raise OperandError(f"{function} along an axis needs an array with one, not a single number")
    return FloatArray._of(a.format, bits), normalize_axis_index(axis, bits.ndim)


def _lines(values: FloatArray, axis: int) -> NDArray[Any]:
    """The encodings, a row for each line of elements."""
    along = np.moveaxis(values._bits, axis, -1)
    lines = values.size // max(along.shape[-1], 1)
    return along.reshape(lines, along.shape[-1])


def _back(rows: NDArray[Any], values: FloatArray, axis: int) -> NDArray[Any]:
    """What stands in rows for lines of elements, in the shape of the array."""
    rest = [n for place, n in enumerate(values.shape) if place != axis]
    return np.moveaxis(rows.reshape(*rest, rows.shape[-1]), -1, axis)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.partition: partition,
    np.argpartition: argpartition,
}
