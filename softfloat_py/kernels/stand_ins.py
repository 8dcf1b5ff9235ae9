"""Modules that know the emulation: in a kernel, `math`, `numpy` and `random` deliver the target's numbers."""

from __future__ import annotations

import functools
import random
from collections.abc import Callable
from types import ModuleType
from typing import Any

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
    package = host.__name__.split(".")[0]
    if package == "math":
        from softfloat_py.kernels.math_functions import emulated_function
    elif package in ("random", "numpy") and host.__name__ != "numpy.testing":
        from softfloat_py.kernels.numpy_functions import emulated_function
    elif package in ("cmath", "statistics"):
        from softfloat_py.kernels.host_functions import emulated_function
    else:
        return host
    return StandIn(world, host, emulated_function)


def is_draws(value: Any) -> bool:
    """Whether a value is a generator of random numbers, of Python or numpy."""
    numpy_random = getattr(type(value), "__module__", "").startswith("numpy.random")
    return isinstance(value, random.Random) or (numpy_random and hasattr(value, "standard_normal"))
