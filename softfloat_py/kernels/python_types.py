"""The types of floats and arrays in a kernel: they make the run's numbers, and know them as their own."""

from __future__ import annotations

import builtins
from typing import TYPE_CHECKING, Any

import numpy as np

from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.complex.complex_number import ComplexNumber
from softfloat_py.numbers.integer_data import is_integer
from softfloat_py.numbers.number import Number

if TYPE_CHECKING:
    from softfloat_py.kernels.world import World


class _HostType(type):
    """A type of the host as a kernel sees it: numbers of the run's format are its instances too."""

    world: World
    host: type
    emulated: type

    def __instancecheck__(cls, instance: Any) -> bool:
        return isinstance(instance, cls.host | cls.emulated)

    def __subclasscheck__(cls, subclass: type) -> bool:
        return issubclass(subclass, cls.host | cls.emulated)

    def __getattr__(cls, name: str) -> Any:
        return getattr(cls.host, name)

    def __eq__(cls, other: object) -> bool:
        return other is cls or other is cls.host

    def __hash__(cls) -> int:
        return hash(cls.host)


class _FloatType(_HostType):
    """The type of floats in a kernel: it makes numbers of the run's format."""

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
            leaves = cls.host is builtins.float and not world.is_constant(value)
            return value.__float__() if leaves else value
        return world.format(cls.host(value))


class _ComplexType(_HostType):
    """The type of complex numbers in a kernel: of two parts it makes one of the run's format."""

    def __call__(cls, real: Any = 0.0, imag: Any = 0.0) -> Any:
        """The number with these parts, ints among them converted; or one as it is."""
        if isinstance(real, ComplexNumber):
            return real
        if isinstance(real, str | complex):
            return cls.world.format.complex_number(builtins.complex(real))
        return cls.world.format.complex_number(*(cls.world.part(each) for each in (real, imag)))


class _ArrayType(type):
    """numpy's ndarray in a kernel: arrays of the run's format are its instances too."""

    def __instancecheck__(cls, instance: Any) -> bool:
        return isinstance(instance, np.ndarray | FloatArray)


def stand_in_for_type(world: World, written: type) -> Any:
    """What stands for a type of the host: for its floats and arrays, one that knows those of the run."""
    if written in (np.floating, np.complexfloating, np.inexact, np.number, np.generic):
        return written  # which numpy's dtypes are asked about, not values
    if issubclass(written, float | np.floating) and written.__module__ in ("builtins", "numpy"):
        return _stand_in(world, written, _FloatType, Number)
    if issubclass(written, complex | np.complexfloating) and written.__module__ in ("builtins", "numpy"):
        return _stand_in(world, written, _ComplexType, ComplexNumber)
    return _ArrayType("ndarray", (), {}) if written is np.ndarray else written


def _stand_in(world: World, written: type, meta: type[_HostType], emulated: type) -> type:
    body = {"world": world, "host": written, "emulated": emulated, "dtype": np.dtype(written)}
    return meta(written.__name__, (), body)
