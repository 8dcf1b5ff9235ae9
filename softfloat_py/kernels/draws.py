"""Generators of random numbers in a kernel."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING, Any

from softfloat_py.errors import NotEmulatedError

if TYPE_CHECKING:
    from softfloat_py.kernels.world import World


def is_draws(value: Any) -> bool:
    """Whether a value is a generator of random numbers, of Python or numpy."""
    numpy_random = getattr(type(value), "__module__", "").startswith("numpy.random")
    return isinstance(value, random.Random) or (numpy_random and hasattr(value, "standard_normal"))


class Draws:
    """A generator of random numbers in a kernel: what it draws are constants of the program."""

    def __init__(self, world: World, host: Any) -> None:
        self._world, self._host = world, host

    def __getattr__(self, name: str) -> Any:
        method = getattr(self._host, name)
        if not callable(method):
            raise NotEmulatedError(f"{name} of a generator of random numbers", "its methods that draw")
        return self._world.twin_anew(method)
