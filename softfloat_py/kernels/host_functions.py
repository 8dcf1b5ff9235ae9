"""Modules of the host that have no place on the target: they are refused where they meet its numbers."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

from softfloat_py.errors import NotEmulatedError
from softfloat_py.kernels.world import World
from softfloat_py.numbers.operands import Emulated

NEAREST = {
    "statistics": "numpy's mean, median, var and std, or sums written out",
    "cmath": "arithmetic of real and imaginary parts",
}


def emulated_function(world: World, function: Callable[..., Any]) -> Callable[..., Any]:
    """The function for what holds no emulated value, a refusal otherwise."""
    module = function.__module__

    @functools.wraps(function)
    def called(*arguments: Any, **keywords: Any) -> Any:
        given = [list(value) if hasattr(value, "__iter__") else value for value in arguments]
        if any(map(_has_emulated, (*given, *keywords.values()))):
            raise NotEmulatedError(f"{module}.{function.__name__}", NEAREST[module])
        return world.delivered(function(*given, **keywords))

    return called


def _has_emulated(value: Any) -> bool:
    return any(map(_has_emulated, value)) if isinstance(value, list) else isinstance(value, Emulated)
