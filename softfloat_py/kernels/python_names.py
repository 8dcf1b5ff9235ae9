"""What a kernel's functions find under Python's own names where the host's would compute with its floats."""

from __future__ import annotations

import builtins
import functools
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from softfloat_py.kernels.rewriting import BASE, DIVIDEND, EXPONENT
from softfloat_py.numbers.functions import addition, division
from softfloat_py.numbers.integer_data import Literal
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import Emulated

if TYPE_CHECKING:
    from softfloat_py.kernels.world import World


def python_names(world: World) -> dict[str, Any]:
    """The names, and what the rewritten text asks for by names that no user can write."""

    def integer_operand(value: Any) -> Any:
        return _IntegerOperand(world, value) if _is_int(value) else value

    def power(base: Any, exp: Any, mod: Any = None) -> Any:
        return (
            builtins.pow(base, exp, mod) if mod is not None else integer_operand(base) ** world.written(exp)
        )

    def total(iterable: Iterable[Any], /, start: Any = Literal(0)) -> Any:
        # Python's own begins with an int that would be taken for data.
        return functools.reduce(plus, iterable, start)

    def plus(x: Any, y: Any) -> Any:
        if not isinstance(x, Emulated) and not isinstance(y, Emulated):
            return x + y
        return addition(*(world.converted(value) if _is_int(value) else value for value in (x, y)))

    def imported(name: str, *arguments: Any) -> Any:
        # What numpy's C code asks for comes without a kernel's globals.
        return world.twin(builtins.__import__(name, *arguments))

    return {
        DIVIDEND: integer_operand,
        BASE: integer_operand,
        EXPONENT: world.written,
        "pow": power,
        "sum": total,
        "float": stand_in_for_type(world, float),
        "__import__": imported,
    }


def _is_int(value: Any) -> bool:
    if isinstance(value, int):
        return not isinstance(value, bool)
    return getattr(getattr(value, "dtype", None), "kind", "") in ("i", "u") and getattr(value, "ndim", 1) == 0


class _IntegerOperand:
    """An int on the left of `/` or `**`, where Python would make a float of two ints.

    `i / n` converts both and divides; beside anything else the int is what it was.
    """

    __slots__ = ("_value", "_world")

    def __init__(self, world: World, value: Any) -> None:
        self._world, self._value = world, value

    def __truediv__(self, other: Any) -> Any:
        world = self._world
        if _is_int(other):
            other = world.converted(other)
        if not isinstance(other, Emulated):
            return self._value / other
        return division(world.converted(self._value), other)

    def __pow__(self, other: Any) -> Any:
        if _is_int(other) and other >= 0:
            return self._value**other
        return self._world.converted(self._value) ** other


# -- types --------------------------------------------------------------------------------------------


class _FloatType(type):
    """The type of a float in a kernel: called, it makes numbers of the run's format; numbers are its instances."""

    world: World
    host: type

    def __call__(cls, value: Any = 0.0) -> Any:
        """The number that a text says, an int converted to, or a number is; an emulated one leaves."""
        world = cls.world
        if isinstance(value, str | bytes):
            builtins.float(value)  # which says what is wrong with a text that is none
            text = value.decode() if isinstance(value, bytes) else value
            return world.format.from_text(text.strip().replace("_", ""))
        if _is_int(value):
            return world.converted(value)
        if isinstance(value, Emulated):
            return builtins.float(value)
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
        import numpy as np

        from softfloat_py.numbers.array import FloatArray

        return isinstance(instance, np.ndarray | FloatArray)


def stand_in_for_type(world: World, written: type) -> Any:
    """What stands for a type of the host: for its floats and arrays, one that knows those of the run."""
    import numpy as np

    if written is float or (issubclass(written, np.floating) and written is not np.floating):
        body = {"world": world, "host": written, "dtype": np.dtype(written)}
        return world.made(written, lambda world, written: _FloatType(written.__name__, (), body))
    if written is np.ndarray:
        return world.made(written, lambda world, written: _ArrayType("ndarray", (), {}))
    return written
