"""What stands for the functions, classes, modules and objects of a program in its emulated run."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from enum import Enum
from types import CellType, CodeType, FunctionType, MethodType, ModuleType
from typing import Any

from softfloat_py.kernels.python_names import python_names
from softfloat_py.kernels.python_types import stand_in_for_type
from softfloat_py.kernels.stand_ins import stand_in_for_function, stand_in_for_module
from softfloat_py.kernels.values import emulated_value
from softfloat_py.kernels.world import Program, World
from softfloat_py.numbers.complex.complex_value import ComplexValue
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.making import MakesValues

# What never changes from one world to the other.
UNCHANGED = (bool, int, str, bytes, type(None), Emulated, ComplexValue, CodeType, Enum)


def emulated_world(fmt: MakesValues, program: Program) -> World:
    """The emulated side of a program in a format."""
    return World(fmt, program, new_twin, python_names)


# What asks for names of a module that its text does not show.
LOOKS_AT_ALL = {"globals", "eval", "exec", "vars", "locals"}


def new_twin(world: World, value: Any) -> Any:
    """What stands for a value that has no twin yet; the value itself where nothing in it is the program's."""
    if isinstance(value, UNCHANGED) and not world.program.has_class(type(value)):
        return value
    if callable(value) and not isinstance(value, type):
        known = stand_in_for_function(world, value)
        if known is not None:
            return known
    for kinds, make in MAKERS:
        if isinstance(value, kinds):
            return make(world, value)
    return emulated_value(world, value)


# -- functions ----------------------------------------------------------------------------------------


def function(world: World, written: FunctionType) -> Any:
    """A function of the program, or one of another package that holds one's own, as decorators make them."""
    if world.program.has(written.__globals__) or any(map(_is_function, _contents(written))):
        return emulated_function(world, written)
    return written


def emulated_function(world: World, written: FunctionType) -> FunctionType:
    """A function with the target's numbers, if its text is the program's, and with emulated defaults."""
    own = world.program.has(written.__globals__)
    names = written.__globals__
    code = world.code(written.__code__, names) if own else written.__code__
    namespace = vars(world.module(names)) if own else names
    cells = tuple(CellType() for _ in written.__closure__ or ())
    made = FunctionType(code, namespace, written.__name__, None, cells)
    world.remember(written, made)
    made.__qualname__, made.__module__ = written.__qualname__, written.__module__
    made.__doc__, made.__annotations__ = written.__doc__, written.__annotations__

    def fill() -> None:
        made.__defaults__ = world.twin(written.__defaults__)
        made.__kwdefaults__ = world.twin(written.__kwdefaults__)
        vars(made).update({name: world.twin(value) for name, value in vars(written).items()})
        for cell, before in zip(cells, written.__closure__ or (), strict=True):
            if not _is_empty(before):
                cell.cell_contents = world.twin(before.cell_contents)
        if own:
            used = names_in(code)
            for name in names if used & LOOKS_AT_ALL else used:
                world.bring(names, name)

    world.later(fill)
    return made


def names_in(code: CodeType) -> set[str]:
    """All names that a function, and those within it, may look up in their module."""
    found = set(code.co_names)
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            found |= names_in(constant)
    return found


def _contents(written: FunctionType) -> Iterator[Any]:
    return (cell.cell_contents for cell in written.__closure__ or () if not _is_empty(cell))


def _is_function(value: Any) -> bool:
    return isinstance(value, FunctionType | MethodType)


def _is_empty(cell: CellType) -> bool:
    try:
        cell.cell_contents  # noqa: B018
    except ValueError:
        return True
    return False


def bound_method(world: World, written: MethodType) -> Any:
    """A method of the twin of its object."""
    return MethodType(world.twin(written.__func__), world.twin(written.__self__))


def partial(world: World, written: functools.partial[Any]) -> Any:
    """The same arguments, emulated, given to the twin of the function."""
    arguments, keywords = world.twin(written.args), world.twin(written.keywords)
    return functools.partial(world.twin(written.func), *arguments, **keywords)


def cached(world: World, written: Any) -> Any:
    """A cache of its own for the twin of a function."""
    return functools.lru_cache(**written.cache_parameters())(world.twin(written.__wrapped__))


# -- classes ------------------------------------------------------------------------------------------


def cls(world: World, written: type) -> Any:
    """A class of the program whose methods and attributes are twins; any other class as it is."""
    if not world.program.has_class(written):
        return stand_in_for_type(world, written)
    bases = tuple(world.twin(base) if world.program.has_class(base) else base for base in written.__bases__)
    slots = vars(written).get("__slots__", ())
    made_anew = {"__dict__", "__weakref__", "_abc_impl", *((slots,) if isinstance(slots, str) else slots)}
    body = {name: value for name, value in vars(written).items() if name not in made_anew}
    plain = {name: value for name, value in body.items() if not _holds_function(value)}
    methods = _methods(world, body)
    # What greets new subclasses has greeted the written ones; the twins of these are not new.
    greeting = methods.pop("__init_subclass__", None)
    made: Any = type(written)(written.__name__, bases, {**plain, **methods})
    world.remember(written, made)

    def fill() -> None:
        if greeting is not None:
            made.__init_subclass__ = greeting
        for name, value in plain.items():
            if not name.startswith("__"):
                setattr(made, name, world.twin(value))

    world.later(fill)
    return made


def _methods(world: World, body: dict[str, Any]) -> dict[str, Any]:
    return {name: _method(world, value) for name, value in body.items() if _holds_function(value)}


def _holds_function(value: Any) -> bool:
    return isinstance(value, FunctionType | staticmethod | classmethod | property | functools.cached_property)


def _method(world: World, value: Any) -> Any:
    match value:
        case staticmethod() | classmethod():
            return type(value)(_method(world, value.__func__))
        case property():
            getter, setter, deleter = (
                part and _method(world, part) for part in (value.fget, value.fset, value.fdel)
            )
            return property(getter, setter, deleter, value.__doc__)
        case functools.cached_property():
            return functools.cached_property(_method(world, value.func))
        case FunctionType():
            return world.made(value, emulated_function)
    return world.twin(value)


# -- modules ------------------------------------------------------------------------------------------


def module(world: World, written: ModuleType) -> Any:
    """The twin of one of the program's modules, a stand-in for one that knows the emulation, or itself."""
    if world.program.has(vars(written)):
        return world.module(vars(written))
    return stand_in_for_module(world, written)


MAKERS: tuple[tuple[Any, Callable[[World, Any], Any]], ...] = (
    (FunctionType, function),
    (MethodType, bound_method),
    (functools.partial, partial),
    (functools._lru_cache_wrapper, cached),
    (type, cls),
    (ModuleType, module),
)
