"""The types of floats and arrays in a kernel: they make the run's numbers, and know them as their own."""

from __future__ import annotations

import builtins
from typing import TYPE_CHECKING, Any

import numpy as np

from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.integer_data import is_integer
from softfloat_py.numbers.number import Number

if TYPE_CHECKING:
    from softfloat_py.kernels.world import World


class _FloatType(type):
    """The type of floats in a kernel: it makes numbers of the run's format, which are its instances."""

    world: World
    host: type

    def __call__(cls, value: Any = 0.0) -> Any:
        """The number that a text says, or an int is converted to.

        Python's float of a number leaves the emulation; numpy's types of one are the run's own format.
        """
        world = cls.world
        if isinstance(value, str | bytes):
            builtins.float(value)  # which says what is wrong with a text that is none
            text = value.decode() if isinstance(value, bytes) else value
            return world.format.from_text(text.strip().replace("_", ""))
        if is_integer(value):
            return world.converted(value)
        if isinstance(value, Number | FloatArray):
            return value.__float__() if cls.host is builtins.float else value
        return world.format(cls.host(value))

    def __instancecheck__(cls, instance: Any) -> bool:
        return isinstance(instance, cls.host | Number)

    def __subclasscheck__(cls, subclass: type) -> bool:
        return issubclass(subclass, cls.host | Number)

    def __getattr__(cls, name: str) -> Any:
        return getattr(cls.host, name)

    def __eq__(cls, other: object) -> bool:
        return other is cls or other is cls.host

    def __hash__(cls) -> int:
        return hash(cls.host)


class _ArrayType(type):
    """numpy's ndarray in a kernel: arrays of the run's format are its instances too."""

    def __instancecheck__(cls, instance: Any) -> bool:
        return isinstance(instance, np.ndarray | FloatArray)


def stand_in_for_type(world: World, written: type) -> Any:
    """What stands for a type of the host: for its floats and arrays, one that knows those of the run."""
    if written is float or (issubclass(written, np.floating) and written is not np.floating):
        body = {"world": world, "host": written, "dtype": np.dtype(written)}
        return world.made(written, lambda world, written: _FloatType(written.__name__, (), body))
    if written is np.ndarray:
        return world.made(written, lambda world, written: _ArrayType("ndarray", (), {}))
    return written
