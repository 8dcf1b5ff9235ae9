"""numpy's functions that put values elsewhere and take more than one kind of argument: not counted.

Those whose values are their first argument alone are done by numpy on encodings, in `dispatching`. Here
are the others, by the names that numpy gives their parameters, so that no constant slips in among encodings.
Where a condition is emulated, asking it is counted.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.engines.arrays.words import as_array
from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.numpy_calls.choosing import in_one_shape
from softfloat_py.numbers.numpy_calls.logical import truth
from softfloat_py.numbers.operands import format_of
from softfloat_py.numbers.value_system import ValueSystem


def where(condition: Any, x: Any = None, y: Any = None, /) -> Any:
    """An element of x where the condition holds and of y elsewhere; of a condition alone, where it holds.

    An emulated condition holds where it differs from zero: compare_quiet_not_equal for each element. Choosing
    is not counted. Integers and bools on both sides stay what they are, otherwise the result is emulated.
    """
    if x is None and y is None:
        return np.nonzero(condition)
    holds = truth(condition)
    if all(not isinstance(side, Emulated) and np.asarray(side).dtype.kind in "biu" for side in (x, y)):
        return np.where(holds, x, y)
    fmt = format_of((x, y, condition))
    return fmt.value_of(np.where(holds, _bits(fmt, x, "numpy.where"), _bits(fmt, y, "numpy.where")))


def select(condlist: Any, choicelist: Any, default: Any = 0) -> Any:
    """For each element the choice whose condition is the first to hold; `default` where none does."""
    fmt = format_of((choicelist, default))
    conditions = [truth(condition) for condition in condlist]
    choices = [_bits(fmt, choice, "numpy.select") for choice in choicelist]
    return fmt.value_of(np.select(conditions, choices, _bits(fmt, default, "numpy.select")))


def choose(a: Any, choices: Any, *, mode: Any = "raise") -> Any:
    """For each element the choice whose number the integer in `a` is."""
    fmt = format_of((choices,))
    bits = [_bits(fmt, choice, "numpy.choose") for choice in choices]
    return fmt.value_of(np.choose(a, bits, mode=mode))


def compress(condition: Any, a: Any, axis: int | None = None) -> Any:
    """The slices along an axis whose condition holds; asking an emulated condition is counted."""
    fmt = format_of((a,))
    return fmt.value_of(np.compress(truth(condition), _bits(fmt, a, "numpy.compress"), axis))


def extract(condition: Any, arr: Any) -> Any:
    """The elements whose condition holds, along one axis; asking an emulated condition is counted."""
    return compress(np.ravel(condition), np.ravel(arr))


def append(arr: Any, values: Any, axis: int | None = None) -> Any:
    """The values after the elements, all along one axis if none is given."""
    fmt = format_of((arr, values))
    return fmt.value_of(np.append(_bits(fmt, arr, "numpy.append"), _bits(fmt, values, "numpy.append"), axis))


def insert(arr: Any, obj: Any, values: Any, axis: int | None = None) -> Any:
    """The values before the elements with the indices `obj`."""
    fmt = format_of((arr, values))
    bits = _bits(fmt, arr, "numpy.insert"), obj, _bits(fmt, values, "numpy.insert")
    return fmt.value_of(np.insert(*bits, axis))


def broadcast_arrays(*args: Any) -> tuple[Any, ...]:
    """Each argument in the shape that all have in common, host arrays too."""
    return tuple(in_one_shape(*args))


def meshgrid(*xi: Any, copy: bool = True, sparse: bool = False, indexing: str = "xy") -> tuple[Any, ...]:
    """Each sequence of coordinates spread over the axes of the others; always copies, host arrays too."""
    places: Any = np.meshgrid(
        *(np.arange(np.size(x)) for x in xi),
        sparse=sparse,
        indexing=indexing,  # type: ignore[call-overload]
    )
    return tuple(np.ravel(x)[place] for x, place in zip(xi, places, strict=True))


def _for_each(function: Any) -> Callable[..., Any]:
    """A function of any number of arrays, each by itself; several give a tuple, host arrays stay such."""

    def moved(ary: Any) -> Any:
        if isinstance(ary, Emulated):
            return ary.format.value_of(function(as_array(ary._bits, ary.format.width)))
        return function(ary)

    def of_each(*arys: Any) -> Any:
        return moved(arys[0]) if len(arys) == 1 else tuple(map(moved, arys))

    return of_each


# -- writing into an array --------------------------------------------------------------------------


def put(a: Any, ind: Any, v: Any, mode: Any = "raise") -> None:
    """Put values into the elements with the indices `ind`, counted along one axis."""
    fmt = _format_written(a, v, "numpy.put")
    np.put(a._bits, ind, _bits(fmt, v, "numpy.put"), mode)


def place(arr: Any, mask: Any, vals: Any) -> None:
    """Put values, in turn, into the elements that a mask names."""
    fmt = _format_written(arr, vals, "numpy.place")
    np.place(arr._bits, truth(mask), np.atleast_1d(_bits(fmt, vals, "numpy.place")))


def putmask(a: Any, /, mask: Any, values: Any) -> None:
    """Put values of the same places into the elements that a mask names; too few are repeated."""
    fmt = _format_written(a, values, "numpy.putmask")
    np.putmask(a._bits, truth(mask), _bits(fmt, values, "numpy.putmask"))


def copyto(dst: Any, src: Any, *, where: Any = True) -> None:
    """Put values that broadcast into the elements that a mask names, or into all."""
    fmt = _format_written(dst, src, "numpy.copyto")
    np.copyto(dst._bits, _bits(fmt, src, "numpy.copyto"), where=truth(where))


def fill_diagonal(a: Any, val: Any, wrap: bool = False) -> None:
    """Put values into the main diagonal."""
    fmt = _format_written(a, val, "numpy.fill_diagonal")
    np.fill_diagonal(a._bits, _bits(fmt, val, "numpy.fill_diagonal"), wrap)


def put_along_axis(arr: Any, indices: Any, values: Any, axis: int | None) -> None:
    """Put values into the elements with these indices along an axis."""
    fmt = _format_written(arr, values, "numpy.put_along_axis")
    np.put_along_axis(arr._bits, indices, _bits(fmt, values, "numpy.put_along_axis"), axis)


def _format_written(written: Any, values: Any, function: str) -> ValueSystem:
    """The format of the array that is written to; OperandError where it is a host array."""
    if not isinstance(written, FloatArray):
        fmt = format_of((values,))
        raise OperandError(
            f"{function} needs an array of {fmt.name} to put emulated values into, not "
            f"{type(written).__name__}; make one by {fmt.name}.array(values)"
        )
    return written.format


def _bits(fmt: ValueSystem, value: Any, function: str) -> Any:
    return encodings_for(fmt, value, function)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.where: where,
    np.select: select,
    np.choose: choose,
    np.compress: compress,
    np.extract: extract,
    np.append: append,
    np.insert: insert,
    np.broadcast_arrays: broadcast_arrays,
    np.meshgrid: meshgrid,
    np.atleast_1d: _for_each(np.atleast_1d),
    np.atleast_2d: _for_each(np.atleast_2d),
    np.atleast_3d: _for_each(np.atleast_3d),
    np.put: put,
    np.place: place,
    np.putmask: putmask,
    np.copyto: copyto,
    np.fill_diagonal: fill_diagonal,
    np.put_along_axis: put_along_axis,
}
