"""What stands for the data of a program: numbers, arrays, and containers and objects with such in them."""

from __future__ import annotations

import array
import copy
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import is_dataclass
from types import GeneratorType, SimpleNamespace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.errors import OperandError
from softfloat_py.kernels.draws import Draws, is_draws
from softfloat_py.kernels.integer_arrays import IntegerArray
from softfloat_py.kernels.records import Records
from softfloat_py.kernels.world import World
from softfloat_py.numbers.host_formats import format_of_dtype
from softfloat_py.numbers.integer_data import Literal


def emulated_value(world: World, value: Any) -> Any:
    """What stands for a value that is no function, class or module."""
    for kinds, make in MAKERS:
        if isinstance(value, kinds):
            return make(world, value)
    if is_draws(value):
        return Draws(world, value)
    if isinstance(value, Iterator) and type(value).__module__ in ("builtins", "itertools"):
        return _iterator(world, value)
    if hasattr(value, "to_numpy"):
        raise OperandError(
            f"a kernel's data must be numbers, arrays or Python's containers of them, not {_named(value)}; "
            "give it as an array, with its to_numpy()"
        )
    if world.program.has_class(type(value)) or is_dataclass(value) or isinstance(value, SimpleNamespace):
        return _object(world, value)
    return value


def for_host(value: Any, seen: dict[int, Any] | None = None) -> Any:
    """What a kernel returns, with ints and arrays of ints as the host has them; emulated values stay."""
    seen = {} if seen is None else seen
    if id(value) in seen:
        return seen[id(value)]
    match value:
        case Literal():
            return int(value)
        case IntegerArray():
            return value.view(np.ndarray)
        case list() if type(value) is list:
            made: list[Any] = []
            seen[id(value)] = made
            made.extend(for_host(element, seen) for element in value)
            return made
        case dict() if type(value) is dict:
            return {key: for_host(element, seen) for key, element in value.items()}
        case tuple() if type(value) is tuple:
            return tuple(for_host(element, seen) for element in value)
    return value


def _named(value: Any) -> str:
    return f"{type(value).__module__.split('.')[0]}'s {type(value).__name__}"


# -- numbers and arrays -------------------------------------------------------------------------------


def _number(world: World, value: Any) -> Any:
    return world.format(value)


def _complex_number(world: World, value: complex) -> Any:
    return world.format.complex_number(value)


def emulated_array(world: World, value: NDArray[Any]) -> Any:
    """A host array in the run: of floats in its format, of ints as data that the target converts."""
    if isinstance(value, np.ma.MaskedArray | np.matrix):
        raise OperandError(
            f"a kernel's arrays must be plain ones, not {type(value).__name__}; "
            "write np.asarray(values), or values.filled(value) of a masked one"
        )
    if isinstance(value, IntegerArray):
        return value
    kind = value.dtype.kind
    if kind == "f" or format_of_dtype(value.dtype) is not None:
        return world.format.array(value)
    if kind in "iu":
        return IntegerArray.of(world, value.copy())
    if kind == "c":
        return world.format.complex_array(value)
    if value.dtype.names is not None:
        return Records({name: world.twin(value[name]) for name in value.dtype.names})
    return _array_of_objects(world, value) if kind == "O" else value


def _array_of_objects(world: World, value: NDArray[Any]) -> Any:
    """An array of Python's objects: of floats alone, an array of the format."""
    if value.size and all(isinstance(element, float | np.floating) for element in value.flat):
        return world.format.array(value)
    made = np.empty(value.shape, object)
    for place, element in np.ndenumerate(value):
        made[place] = world.twin(element)
    return made


def _array_of_machine_numbers(world: World, value: array.array[Any]) -> Any:
    """Python's `array`: its floats as a list of numbers, its ints as they are."""
    return [world.format(element) for element in value] if value.typecode in "fd" else value


# -- containers ---------------------------------------------------------------------------------------


def _list(world: World, value: list[Any]) -> Any:
    made = _empty_copy(world, value)
    if all(type(element) is float for element in list.__iter__(value)):
        list.extend(made, world.format.array(list(value)))  # many at a time are quicker
    else:
        list.extend(made, (_element(world, element) for element in list.__iter__(value)))
    return made


def _dict(world: World, value: dict[Any, Any]) -> Any:
    made = _empty_copy(world, value)
    for key, element in dict.items(value):
        dict.__setitem__(made, _element(world, key), _element(world, element))
    if hasattr(value, "default_factory"):
        made.default_factory = world.twin(value.default_factory)
    return made


def _tuple(world: World, value: tuple[Any, ...]) -> Any:
    elements = [_element(world, element) for element in tuple.__iter__(value)]
    cls = world.twin(type(value))
    if cls is type(value) and all(ours is theirs for ours, theirs in zip(elements, value, strict=True)):
        return value
    return tuple.__new__(cls, elements)


def _set(world: World, value: Any) -> Any:
    return type(value)(_element(world, element) for element in value)


def _deque(world: World, value: deque[Any]) -> Any:
    made: deque[Any] = deque(maxlen=value.maxlen)
    world.remember(value, made)
    made.extend(_element(world, element) for element in value)
    return made


def _iterator(world: World, value: Iterator[Any]) -> Any:
    """What an iterator still delivers; a generator that runs already has been the host's, as `inputs` is."""
    return (_element(world, element) for element in value)


def _element(world: World, value: Any) -> Any:
    """An element's twin; floats, of which there may be many, each have one of their own."""
    return world.format(value) if type(value) is float else world.twin(value)


def _empty_copy(world: World, value: Any) -> Any:
    """An empty container of the class's twin with the attributes of one."""
    cls: Any = world.twin(type(value))
    made = cls.__new__(cls)
    world.remember(value, made)
    if hasattr(value, "__dict__"):
        vars(made).update({name: world.twin(attribute) for name, attribute in vars(value).items()})
    return made


# -- objects ------------------------------------------------------------------------------------------


def _object(world: World, value: Any) -> Any:
    """An object of the class's twin, with the twins of its attributes."""
    cls = world.twin(type(value))
    made = object.__new__(cls) if cls is not type(value) else copy.copy(value)
    world.remember(value, made)
    for name in _attributes(value):
        object.__setattr__(made, name, world.twin(getattr(value, name)))
    return made


def _attributes(value: Any) -> Iterator[str]:
    yield from vars(value) if hasattr(value, "__dict__") else ()
    for cls in type(value).__mro__:
        slots = vars(cls).get("__slots__", ())
        for name in (slots,) if isinstance(slots, str) else slots:
            if name not in ("__dict__", "__weakref__") and hasattr(value, name):
                yield name


MAKERS: tuple[tuple[Any, Callable[[World, Any], Any]], ...] = (
    ((float, np.floating), _number),
    ((complex, np.complexfloating), _complex_number),
    (np.integer, lambda world, value: value),
    (np.ndarray, emulated_array),
    (list, _list),
    (dict, _dict),
    (tuple, _tuple),
    ((set, frozenset), _set),
    (deque, _deque),
    (array.array, _array_of_machine_numbers),
    (GeneratorType, _iterator),
)
