"""numpy's makers of arrays in a kernel: grids, windows, files, random draws.

They are done by the host, from constants as the text has them, and what they give are constants of the
program. A grid between ends that are known at run time alone is computed on the target.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.kernels.draws import is_draws
from softfloat_py.kernels.world import World
from softfloat_py.numbers.applying import note_departure
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import addition, division, multiplication, subtraction
from softfloat_py.numbers.integer_data import Literal
from softfloat_py.numbers.making import MakesValues

NOTHING, ONE = Literal(0), Literal(1)
# By their names in numpy and its modules.
MAKERS = (
    "arange", "linspace", "logspace", "geomspace", "zeros", "ones", "empty", "full", "eye", "identity",
    "tri", "hanning", "hamming", "blackman", "bartlett", "kaiser", "fromfunction", "fromiter",
    "fromstring", "frombuffer", "fromfile", "loadtxt", "genfromtxt", "load", "indices", "fftfreq",
    "rfftfreq", "default_rng", "seed", "RandomState",
)  # fmt: skip


def made_by_host(world: World, function: Callable[..., Any]) -> Callable[..., Any]:
    """A function that makes constants, done by the host."""
    return functools.wraps(function)(functools.partial(_made, world, function))


def _made(world: World, function: Callable[..., Any], *arguments: Any, **keywords: Any) -> Any:
    """What the host makes of constants, as constants of the program."""
    name = function.__name__
    if any(isinstance(world.written(value), Emulated) for value in arguments) and name in RUN_TIME:
        return RUN_TIME[name](world, *arguments, **keywords)
    given = [of_host(world, value) for value in arguments]
    options = {key: of_host(world, value) for key, value in keywords.items()}
    made = function(*given, **options)
    return world.twin_anew(made) if is_draws(made) else world.delivered(made)


def of_host(world: World, value: Any) -> Any:
    """An argument as the host has it; a number of the run's that goes there leaves the emulation."""
    value = world.written(value)
    if isinstance(value, list | tuple):
        return type(value)(of_host(world, element) for element in value)
    if isinstance(value, MakesValues):
        return float
    if isinstance(value, FloatArray):
        note_departure("host operand", value.size)
        return value.to_numpy()
    return host_type(value)


def host_type(value: Any) -> Any:
    """The host's own type for a stand-in of one; any other value as it is."""
    return value.host if isinstance(value, type) and hasattr(value, "host") else value


def _linspace(world: World, start: Any, stop: Any, num: int = 50, endpoint: bool = True) -> FloatArray:
    """start + i × step for i from 0 on, with step = (stop - start) / (num - 1), or num without the endpoint.

    Counted: a subtraction, a division, and for each element convert_from_integer, multiplication, addition.
    """
    step = division(subtraction(_value(world, stop), _value(world, start)), int(num) - bool(endpoint))
    return _steps(world, start, step, int(num))


def _arange(world: World, start: Any, stop: Any = None, step: Any = ONE) -> FloatArray:
    """start + i × step for as many i as lie before stop.

    Counted: a subtraction and a division, the conversion to the number of elements with its rounding, and for
    each element convert_from_integer, multiplication, addition.
    """
    if stop is None:
        start, stop = NOTHING, start
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
