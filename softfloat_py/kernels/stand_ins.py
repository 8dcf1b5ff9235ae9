"""Modules that know the emulation: in a kernel, `math`, `numpy` and others deliver the target's numbers."""

from __future__ import annotations

import functools
from collections.abc import Callable
from types import ModuleType
from typing import Any

from softfloat_py.kernels import host_functions, math_functions, numpy_functions
from softfloat_py.kernels.draws import is_draws
from softfloat_py.kernels.python_names import operator_function
from softfloat_py.kernels.world import World


class StandIn(ModuleType):
    """A module of the host as a kernel sees it: constants, functions and modules within it are emulated."""

    def __init__(self, world: World, host: ModuleType, function: Callable[[World, Any], Any]) -> None:
        super().__init__(host.__name__, host.__doc__)
        vars(self)["_emulated"] = functools.partial(_emulated, world, host, function)

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        value = vars(self)["_emulated"](name)
        vars(self)[name] = value
        return value

    def __dir__(self) -> list[str]:
        return sorted(vars(self))


def _emulated(world: World, host: ModuleType, function: Callable[[World, Any], Any], name: str) -> Any:
    value = getattr(host, name)  # an AttributeError of the host says what is missing
    if isinstance(value, float):
        return world.constant(value)
    if isinstance(value, type | ModuleType) or not callable(value):
        return world.twin(value)
    return function(world, value)


def stand_in_for_module(world: World, host: ModuleType) -> ModuleType:
    """The stand-in for a module that has one, or the module itself."""
    function = _maker_for(host.__name__)
    return host if function is None else StandIn(world, host, function)


def stand_in_for_function(world: World, written: Any) -> Any:
    """The stand-in for a function of a module that has one, or None."""
    owner = getattr(written, "__self__", None)
    package = type(owner).__module__ if is_draws(owner) else _module_of(written)
    function = _maker_for(package)
    return None if function is None else function(world, written)


def _module_of(written: Any) -> str:
    # numpy's element-wise functions do not say where they are from.
    return "numpy" if type(written).__name__ == "ufunc" else getattr(written, "__module__", None) or ""


def _maker_for(name: str) -> Callable[[World, Any], Any] | None:
    """What makes stand-ins for the functions of a module; None for one that needs none."""
    return None if name == "numpy.testing" else MAKERS.get(name.split(".")[0])


MAKERS: dict[str, Callable[[World, Any], Any]] = {
    "math": math_functions.emulated_function,
    "numpy": numpy_functions.emulated_function,
    "random": numpy_functions.emulated_function,
    "operator": operator_function,
    "_operator": operator_function,
    "cmath": host_functions.emulated_function,
    "statistics": host_functions.emulated_function,
}
