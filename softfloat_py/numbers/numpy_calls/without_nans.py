"""numpy's functions that leave NaNs out: is_nan for every element, then the plain loop over the others.

How many others there are only a run knows. So where it is a divisor, it is an integer of the program, of 32
bits, and counted as convert_from_integer.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from math import nan
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.arrays.words import to_ints
from softfloat_py.errors import OperandError
from softfloat_py.numbers.applying import apply_in_turn
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.constants import constant
from softfloat_py.numbers.functions import (
    convert_from_integer,
    division,
    is_nan,
    multiplication,
    square_root,
    subtraction,
)
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.numpy_calls.choosing import choose
from softfloat_py.numbers.numpy_calls.elementwise import isneginf, isposinf
from softfloat_py.numbers.numpy_calls.lines import Lines
from softfloat_py.numbers.numpy_calls.reductions import accumulated, reduced
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation

GREATER, LESS = OPERATIONS["compare_signaling_greater"], OPERATIONS["compare_signaling_less"]


# -- sums and extremes ------------------------------------------------------------------------------


def nansum(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The sum of the elements that are no NaNs, in index order; +0 of none.

    Counted for each line of n elements, m of them no NaNs: n times is_nan, m - 1 additions.
    """
    return _each(a, axis, keepdims, partial(_reduced, np.add))


def nanprod(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The product of the elements that are no NaNs; 1 of none. Counted as `nansum`, in multiplications."""
    return _each(a, axis, keepdims, partial(_reduced, np.multiply))


def nanmax(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The largest element that is no NaN, a NaN if all are. Counted as `nansum`, as maximum."""
    return _each(a, axis, keepdims, partial(_reduced, np.maximum))


def nanmin(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The smallest element that is no NaN, a NaN if all are. Counted as `nansum`, as minimum."""
    return _each(a, axis, keepdims, partial(_reduced, np.minimum))


def _reduced(ufunc: np.ufunc, numbers: FloatArray) -> Any:
    if len(numbers) == 0 and ufunc in (np.maximum, np.minimum):
        return Number._of(numbers.format, constant(numbers.format, nan))
    return reduced(ufunc, numbers, None, False)


# -- statistics -------------------------------------------------------------------------------------


def nanmean(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
    """The mean of the elements that are no NaNs; of none it is NaN, and the division an invalid operation.

    Counted for each line of n elements, m of them no NaNs: n times is_nan, m - 1 additions,
    convert_from_integer of m, and a division.
    """
    return _each(a, axis, keepdims, _mean)


def nanvar(a: Any, axis: Any = None, *, ddof: int = 0, keepdims: bool = False) -> Any:
    """The variance of the m elements that are no NaNs, with m - ddof (at least 0) as divisor.

    Counted for each line of n elements: n times is_nan, m - 1 additions, convert_from_integer of m, a
    division, m subtractions, m multiplications, m - 1 additions, convert_from_integer of m - ddof, a
    division.
    """
    return _each(a, axis, keepdims, partial(_variance, ddof=ddof))


def nanstd(a: Any, axis: Any = None, *, ddof: int = 0, keepdims: bool = False) -> Any:
    """The square root of `nanvar`, and counted as that and a square_root for each result."""
    return square_root(nanvar(a, axis, ddof=ddof, keepdims=keepdims))


def _mean(numbers: FloatArray) -> Any:
    return division(reduced(np.add, numbers, None, False), _counted_integer(numbers.format, len(numbers)))


def _variance(numbers: FloatArray, ddof: int) -> Any:
    distances = subtraction(numbers, _mean(numbers))
    total = reduced(np.add, multiplication(distances, distances), None, False)
    return division(total, _counted_integer(numbers.format, max(len(numbers) - ddof, 0)))


def _counted_integer(fmt: ValueSystem, value: int) -> Any:
    return convert_from_integer(value, fmt, width=32)


# -- places -----------------------------------------------------------------------------------------


def nanargmax(a: Any, axis: int | None = None, *, keepdims: bool = False) -> Any:
    """The first place of the largest element that is no NaN; an error if all are.

    Counted for each line of n elements, m of them no NaNs: n times is_nan, m - 1 times
    compare_signaling_greater with the largest so far.
    """
    return _each_place("nanargmax", GREATER, a, axis, keepdims)


def nanargmin(a: Any, axis: int | None = None, *, keepdims: bool = False) -> Any:
    """The first place of the smallest element that is no NaN; as `nanargmax`, by compare_signaling_less."""
    return _each_place("nanargmin", LESS, a, axis, keepdims)


def _each_place(function: str, beyond: Operation, a: Any, axis: int | None, keepdims: bool) -> Any:
    lines = Lines(a, axis)
    places = [np.flatnonzero(~nans).tolist() for nans in is_nan(lines.array)]
    if not all(places):
        raise OperandError(f"numpy.{function} needs an element that is no NaN, in every line of elements")
    found = [_place(beyond, line, numbers) for line, numbers in zip(lines, places, strict=True)]
    return lines.integers(found, keepdims)


def _place(beyond: Operation, line: FloatArray, numbers: list[int]) -> int:
    encodings = to_ints(line._bits)

    def search(is_beyond: Callable[[int, int], int]) -> int:
        best = numbers[0]
        for place in numbers[1:]:
            if is_beyond(encodings[place], encodings[best]):
                best = place
        return best

    return apply_in_turn(beyond, line.format, search)


# -- running results --------------------------------------------------------------------------------


def nancumsum(a: Any, axis: int | None = None) -> Any:
    """All running sums of the elements that are no NaNs; where one is a NaN the sum stays, at first +0.

    Counted as `nansum`, along one axis, or of all elements along one.
    """
    return _running(np.add, a, axis, 0)


def nancumprod(a: Any, axis: int | None = None) -> Any:
    """All running products of the elements that are no NaNs; as `nancumsum`, at first 1."""
    return _running(np.multiply, a, axis, 1)


def _running(ufunc: np.ufunc, a: Any, axis: int | None, of_nothing: int) -> Any:
    lines = Lines(a, axis)
    result: Any = lines.array.copy()
    start = a.format.array([of_nothing])
    for place, (line, missing) in enumerate(zip(lines, is_nan(lines.array), strict=True)):
        running = np.concatenate((start, accumulated(ufunc, line[~missing], 0)))
        result[place] = running[np.cumsum(~missing)]
    return np.moveaxis(result.reshape(*lines.shape, result.shape[1]), -1, axis or 0)


# -- replacing --------------------------------------------------------------------------------------


def nan_to_num(x: Any, copy: bool = True, nan: Any = 0.0, posinf: Any = None, neginf: Any = None) -> Any:
    """x with numbers in place of NaNs and infinities, the largest finite ones where none is given.

    Counted for each element: is_nan; unless that holds compare_quiet_equal with +infinity; unless that holds
    compare_quiet_equal with -infinity. With copy=False they are put into x itself.
    """
    fmt = x.format
    lowest, largest = map(fmt.value_of, fmt.extremes())
    largest = largest if posinf is None else posinf
    lowest = lowest if neginf is None else neginf

    def replaced(value: Any) -> Callable[..., Any]:
        return lambda x: fmt(value)

    def kept(x: Any) -> Any:
        return x

    def finite_above(x: Any) -> Any:
        return choose(isneginf(x), replaced(lowest), kept, x)

    def number(x: Any) -> Any:
        return choose(isposinf(x), replaced(largest), finite_above, x)

    result = choose(is_nan(x), replaced(nan), number, x)
    if copy or isinstance(x, Number):
        return result
    x[...] = result
    return x


def _each(a: Any, axis: Any, keepdims: bool, function: Callable[[FloatArray], Any]) -> Any:
    """What a function makes of the elements of each line that are no NaNs."""
    lines = Lines(a, axis)
    nans: NDArray[np.bool_] = is_nan(lines.array)
    results = [function(line[~missing]) for line, missing in zip(lines, nans, strict=True)]
    return lines.numbers(results, keepdims)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.nansum: nansum,
    np.nanprod: nanprod,
    np.nanmax: nanmax,
    np.nanmin: nanmin,
    np.nanmean: nanmean,
    np.nanvar: nanvar,
    np.nanstd: nanstd,
    np.nanargmax: nanargmax,
    np.nanargmin: nanargmin,
    np.nancumsum: nancumsum,
    np.nancumprod: nancumprod,
    np.nan_to_num: nan_to_num,
}
