"""numpy in a kernel: what it makes and computes are numbers and arrays of the run's format.

Three kinds of functions. *Makers* (zeros, linspace, windows, files, random draws) are done by the host, from
constants as the text has them, and what they give are constants of the program. *Element-wise functions* and
all others are numpy's own, which hands emulated values to this library; ints that are data are converted
first where floats come out, lists of numbers become arrays.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.formats import Format
from softfloat_py.kernels.draws import is_draws
from softfloat_py.kernels.integer_arrays import IntegerArray, holds_floats
from softfloat_py.kernels.world import World
from softfloat_py.numbers.applying import note_departure
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.complex_value import ComplexValue
from softfloat_py.numbers.functions import addition, division, multiplication, subtraction
from softfloat_py.numbers.integer_data import Literal, is_integer
from softfloat_py.numbers.operands import Emulated

# Functions that make arrays of constants, known by their names in numpy and its modules.
MAKERS = frozenset(
    [
        "arange",
        "linspace",
        "logspace",
        "geomspace",
        "zeros",
        "ones",
        "empty",
        "full",
        "eye",
        "identity",
        "tri",
        "hanning",
        "hamming",
        "blackman",
        "bartlett",
        "kaiser",
        "fromfunction",
        "fromiter",
        "fromstring",
        "frombuffer",
        "fromfile",
        "loadtxt",
        "genfromtxt",
        "load",
        "indices",
        "fftfreq",
        "rfftfreq",
        "default_rng",
        "seed",
        "RandomState",
    ]
)
ARRAY_MAKERS = ("array", "asarray", "asanyarray", "ascontiguousarray", "asfortranarray")
# Functions whose list is one of arrays, not an array itself.
OF_SEVERAL = frozenset(
    [
        "concatenate",
        "stack",
        "vstack",
        "hstack",
        "dstack",
        "column_stack",
        "block",
        "meshgrid",
        "broadcast_arrays",
        "select",
        "piecewise",
        "linalg.multi_dot",
        "multi_dot",
        "append",
        "ix_",
    ]
)


def emulated_function(world: World, function: Callable[..., Any]) -> Any:
    """A function of numpy, or one that draws random numbers, in a kernel."""
    name = getattr(function, "__name__", "")
    if isinstance(function, np.ufunc):
        return ElementWise(world, function)
    if is_draws(getattr(function, "__self__", None)) or name in MAKERS:
        return made_by_host(world, function)
    if name in ARRAY_MAKERS:
        return functools.partial(_array, world)
    return functools.wraps(function)(functools.partial(_computed, world, function))


# -- makers -------------------------------------------------------------------------------------------


def made_by_host(world: World, function: Callable[..., Any]) -> Callable[..., Any]:
    """A function that makes constants, done by the host."""
    return functools.wraps(function)(functools.partial(_made, world, function))


def _made(world: World, function: Callable[..., Any], *arguments: Any, **keywords: Any) -> Any:
    """What the host makes of constants, as constants of the program."""
    name = function.__name__
    if any(isinstance(world.written(value), Emulated) for value in arguments) and name in RUN_TIME:
        return RUN_TIME[name](world, *arguments, **keywords)
    given = [_of_host(world, value) for value in arguments]
    options = {key: _of_host(world, value) for key, value in keywords.items()}
    made = function(*given, **options)
    return world.twin_anew(made) if is_draws(made) else world.delivered(made)


def _of_host(world: World, value: Any) -> Any:
    """An argument as the host has it; a number of the run's that goes there leaves the emulation."""
    value = world.written(value)
    if isinstance(value, list | tuple):
        return type(value)(_of_host(world, element) for element in value)
    if isinstance(value, Format):
        return float
    if isinstance(value, FloatArray):
        note_departure("host operand", value.size)
        return value.to_numpy()
    return _host_type(value)


def _host_type(value: Any) -> Any:
    return value.host if isinstance(value, type) and hasattr(value, "host") else value


def _linspace(world: World, start: Any, stop: Any, num: int = 50, endpoint: bool = True) -> FloatArray:
    """start + i × step for i from 0 on, with step = (stop - start) / (num - 1), or num without the endpoint.

    Counted: a subtraction, a division, and for each element convert_from_integer, multiplication, addition.
    """
    step = division(subtraction(_value(world, stop), _value(world, start)), int(num) - bool(endpoint))
    return _steps(world, start, step, int(num))


def _arange(world: World, start: Any, stop: Any = None, step: Any = 1) -> FloatArray:
    """start + i × step for as many i as lie before stop.

    Counted: a subtraction and a division, the conversion to the number of elements with its rounding, and for
    each element convert_from_integer, multiplication, addition.
    """
    if stop is None:
        start, stop = world.format(0), start
    span = division(subtraction(_value(world, stop), _value(world, start)), _value(world, step))
    return _steps(world, start, step, max(span.__ceil__(), 0))


def _full(world: World, shape: Any, fill_value: Any, **keywords: Any) -> FloatArray:
    array: FloatArray = world.format.array(np.zeros(shape))
    array[...] = fill_value
    return array


def _steps(world: World, start: Any, step: Any, count: int) -> FloatArray:
    places: FloatArray = world.converted(np.arange(count, dtype=np.int32))
    result: FloatArray = addition(_value(world, start), multiplication(places, _value(world, step)))
    return result


def _value(world: World, value: Any) -> Any:
    return value if isinstance(value, Emulated) else world.converted(value)


# Makers of numbers that are known at run time only, as loops of the program.
RUN_TIME: dict[str, Callable[..., Any]] = {"linspace": _linspace, "arange": _arange, "full": _full}


def _array(world: World, values: Any, dtype: Any = None, **keywords: Any) -> Any:
    """numpy.array and its kin: of numbers an array of the format, of anything else what numpy makes of it."""
    if isinstance(values, FloatArray):
        array: Any = values.copy()
    elif _has_emulated(values):
        array = _array_of(world, values)
    else:
        array = world.delivered(np.array(_of_host(world, values)))
    return array if dtype is None else as_type(world, array, dtype)


def as_type(world: World, array: Any, dtype: Any) -> Any:
    """An array in another type: any type of floats is the run's format, to ints C's conversion."""
    if isinstance(dtype, Format):
        return array
    kind = np.dtype(_host_type(dtype)).kind
    if isinstance(array, FloatArray):
        return array if kind == "f" else array.astype(_host_type(dtype))
    return array.astype(_host_type(dtype))


def _has_emulated(value: Any) -> bool:
    if isinstance(value, list | tuple):
        return any(map(_has_emulated, value))
    return _is_emulated(value)


def _is_emulated(value: Any) -> bool:
    return isinstance(value, Emulated | ComplexValue)


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
        if not any(_is_emulated(value) for value in given):
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
        key: _host_type(value) if key == "dtype" else _as_array(world, value)
        for key, value in keywords.items()
    }
    if "dtype" in options and _makes_floats(options["dtype"]):
        del options["dtype"]
    if not any(map(_has_emulated, (*given, *options.values()))):
        with np.errstate(all="ignore"):
            result = function(*given, **options)
        if not holds_floats(result):
            return world.delivered(result)
        given = [_converted(world, value) for value in given]
        return world.delivered(function(*given, **options))
    # A constant is what the text says, which some functions ask for.
    written = {key: world.written(value) for key, value in options.items()}
    if any(map(_has_emulated, map(world.written, given))):
        given = list(map(world.written, given))
    return world.delivered(function(*given, **written))


def _makes_floats(dtype: Any) -> bool:
    return isinstance(dtype, Format) or np.dtype(dtype).kind == "f"


def _as_array(world: World, value: Any) -> Any:
    """A list of numbers as an array of the format, anything else as it is."""
    if isinstance(value, list | tuple) and _has_emulated(value):
        return _array_of(world, value)
    if isinstance(value, list) and value and all(map(is_integer, value)):
        return IntegerArray.of(world, np.array(value, np.int32))
    return value


def _as_arrays(world: World, value: Any) -> Any:
    return [_as_array(world, each) for each in value] if isinstance(value, list | tuple) else value


def _converted(world: World, value: Any) -> Any:
    return world.converted(value) if isinstance(value, IntegerArray) else value
