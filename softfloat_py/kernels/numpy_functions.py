"""numpy in a kernel: what it makes and computes are numbers and arrays of the run's format.

Makers of constants are in `makers`. Element-wise functions and all others are numpy's own, which hands
emulated values to this library; ints that are data are converted first where floats come out, and lists of
numbers become arrays.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.kernels import makers
from softfloat_py.kernels.draws import is_draws
from softfloat_py.kernels.holding import holds_emulated, holds_floats, is_emulated
from softfloat_py.kernels.integer_arrays import IntegerArray, integers_of_run
from softfloat_py.kernels.world import World
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.complex.complex_value import ComplexValue
from softfloat_py.numbers.integer_data import Literal, is_integer
from softfloat_py.numbers.making import MakesValues

ARRAY_MAKERS = ("array", "asarray", "asanyarray", "ascontiguousarray", "asfortranarray")
# Functions whose list is one of arrays, not an array itself.
OF_SEVERAL = (
    "concatenate", "stack", "vstack", "hstack", "dstack", "column_stack", "block", "meshgrid",
    "broadcast_arrays", "select", "piecewise", "multi_dot", "append", "ix_",
)  # fmt: skip
# Where a function that does not compute element by element has values; other ints name axes and lengths.
VALUES: dict[str, tuple[int | str, ...]] = {
    "clip": (1, 2, "a_min", "a_max", "min", "max"),
    "where": (1, 2),
    "append": (1, "values"),
    "insert": (2, "values"),
    "full_like": (1, "fill_value"),
    "fill_diagonal": (1, "val"),
    "copyto": (1, "src"),
    "put": (2, "v"),
    "place": (2, "vals"),
    "putmask": (2, "values"),
    "put_along_axis": (2, "values"),
    "searchsorted": (1, "v"),
    "interp": (0, "x"),
}


def emulated_function(world: World, function: Callable[..., Any]) -> Any:
    """A function of numpy, or one that draws random numbers, in a kernel."""
    name = getattr(function, "__name__", "")
    if isinstance(function, np.ufunc):
        return ElementWise(world, function)
    if is_draws(getattr(function, "__self__", None)) or name in makers.MAKERS:
        return makers.made_by_host(world, function)
    if name in ARRAY_MAKERS:
        return functools.partial(_array, world, name == "array")
    return functools.wraps(function)(functools.partial(_computed, world, function))


def _array(world: World, copies: bool, values: Any, dtype: Any = None, **keywords: Any) -> Any:
    """numpy.array and its kin: of numbers an array of the format, of anything else what numpy makes of it.

    An array that is one already is copied by numpy.array, and stays itself for the others.
    """
    if isinstance(values, FloatArray | IntegerArray):
        array: Any = values.copy() if keywords.get("copy", copies) else values
    elif holds_emulated(values):
        array = _array_of(world, values)
    else:
        array = world.delivered(np.array(makers.of_host(world, values)))
    return array if dtype is None else _as_type(world, array, dtype)


def _as_type(world: World, array: Any, dtype: Any) -> Any:
    """An array in another type: any type of floats is the run's format, to ints C's conversion."""
    if isinstance(dtype, MakesValues):
        return array
    kind = np.dtype(makers.host_type(dtype)).kind
    if isinstance(array, FloatArray) and kind == "f":
        return array
    return world.delivered(array.astype(makers.host_type(dtype)))


def _array_of(world: World, values: Any) -> Any:
    """An array of nested lists of numbers, complex if one of them is."""
    nested = _nested(values)
    return world.format.complex_array(nested) if _has_complex(nested) else world.format.array(nested)


def _has_complex(value: Any) -> bool:
    return any(map(_has_complex, value)) if isinstance(value, list) else isinstance(value, ComplexValue)


def _nested(value: Any) -> Any:
    return [_nested(each) for each in value] if isinstance(value, list | tuple | FloatArray) else value


# -- functions ----------------------------------------------------------------------------------------


class ElementWise:
    """An element-wise function of numpy: ints that are data are converted where floats come out."""

    def __init__(self, world: World, ufunc: np.ufunc) -> None:
        self._world, self._ufunc = world, ufunc
        functools.update_wrapper(self, ufunc, updated=())

    def __call__(self, *arguments: Any, **keywords: Any) -> Any:
        """The function on what it is given."""
        world, ufunc = self._world, self._ufunc
        keywords.pop("dtype", None)
        exponent = EXPONENTS.get(ufunc)
        given = [
            world.written(value) if place == exponent else _as_array(world, value)
            for place, value in enumerate(arguments)
        ]
        if not any(map(is_emulated, given)):
            given = [integers_of_run(world, value) for value in given]
            if any(isinstance(value, IntegerArray) for value in given):
                return world.delivered(ufunc(*given, **keywords))
            with np.errstate(all="ignore"):
                result = ufunc(*given, **keywords)
            if not holds_floats(result):
                return world.delivered(result)
        data = [
            world.converted(value) if type(value) is int or isinstance(value, Literal | np.integer) else value
            for value in given
        ]
        if exponent is not None:
            data[exponent] = given[exponent]
        return ufunc(*data, **keywords)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._ufunc, name)


EXPONENTS: dict[np.ufunc, int] = {np.power: 1, np.float_power: 1, np.ldexp: 1}


def _computed(world: World, function: Callable[..., Any], *arguments: Any, **keywords: Any) -> Any:
    """Any other function: of emulated values by this library, of ints as long as ints come out."""
    several = function.__name__ in OF_SEVERAL
    given = [_as_arrays(world, value) if several else _as_array(world, value) for value in arguments]
    options = {
        key: makers.host_type(value) if key == "dtype" else _as_array(world, value)
        for key, value in keywords.items()
    }
    if "dtype" in options and _makes_floats(options["dtype"]):
        del options["dtype"]
    if not any(map(holds_emulated, (*given, *options.values()))):
        with np.errstate(all="ignore"):
            result = function(*given, **options)
        if not holds_floats(result):
            return world.delivered(result)
        # A tuple that comes first is what it computes with; one elsewhere is of axes.
        if given and isinstance(given[0], tuple | range):
            given[0] = list(given[0])
        given = [_converted(world, value) for value in given]
        return world.delivered(function(*given, **options))
    values = VALUES.get(function.__name__, ())
    given = [_data(world, value) if place in values else value for place, value in enumerate(given)]
    options = {key: _data(world, value) if key in values else value for key, value in options.items()}
    # A constant is what the text says, which some functions ask for.
    written = {key: world.written(value) for key, value in options.items()}
    if any(map(holds_emulated, map(world.written, given))):
        given = list(map(world.written, given))
    return world.delivered(function(*given, **written))


def _data(world: World, value: Any) -> Any:
    return world.converted(value) if type(value) is int else value


def _makes_floats(dtype: Any) -> bool:
    return isinstance(dtype, MakesValues) or np.dtype(dtype).kind == "f"


def _as_array(world: World, value: Any) -> Any:
    """A list of numbers as an array of the format, anything else as it is."""
    if isinstance(value, list | tuple) and holds_emulated(value):
        return _array_of(world, value)
    if isinstance(value, list) and value and all(map(is_integer, value)):
        return IntegerArray.of(world, np.array(value, np.int32))
    return value


def _as_arrays(world: World, value: Any) -> Any:
    return [_as_array(world, each) for each in value] if isinstance(value, list | tuple) else value


def _converted(world: World, value: Any) -> Any:
    """An argument of a function that makes floats: ints and truths become the target's."""
    if isinstance(value, list) and np.array(value).dtype.kind in "iub":
        value = np.array(value)
    held = integers_of_run(world, value)
    return world.converted(held) if isinstance(held, IntegerArray) else value
