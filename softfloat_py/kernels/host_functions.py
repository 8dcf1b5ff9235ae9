"""Modules of the host that have no place on the target: they are refused where they meet its numbers."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

from softfloat_py.errors import NotEmulatedError
from softfloat_py.kernels.holding import holds_emulated, holds_floats
from softfloat_py.kernels.world import World

NEAREST = {
    "statistics": "numpy's mean, median, var and std, or sums written out",
    "cmath": "arithmetic of real and imaginary parts",
}


def emulated_function(world: World, function: Callable[..., Any]) -> Callable[..., Any]:
    """The function where neither what it is given nor its result would be of the target's floats."""
    module = function.__module__

    @functools.wraps(function)
    def called(*arguments: Any, **keywords: Any) -> Any:
        given = [list(value) if hasattr(value, "__iter__") else value for value in arguments]
        if not any(map(holds_emulated, (*given, *keywords.values()))):
            result = function(*given, **keywords)
            if not holds_floats(result):
                return result
        raise NotEmulatedError(f"{module}.{function.__name__}", NEAREST[module])

    return called
