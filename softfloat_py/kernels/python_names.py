"""What a kernel's functions find under Python's own names where the host's would compute with its floats."""

from __future__ import annotations

import builtins
import functools
import operator
from typing import TYPE_CHECKING, Any

from softfloat_py.kernels.holding import is_emulated
from softfloat_py.kernels.integer_arrays import integers_of_run
from softfloat_py.kernels.rewriting import BASE, DIVIDEND, EXPONENT, OWNER, PRINTED
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import (
    compare_signaling_greater,
    compare_signaling_less,
    division,
)
from softfloat_py.numbers.integer_data import Literal, is_integer
from softfloat_py.numbers.number import Number

if TYPE_CHECKING:
    from softfloat_py.kernels.world import World


NOTHING = Literal(0)  # what a sum begins with; Python's own has an int that would be taken for data


def python_names(world: World) -> dict[str, Any]:
    """The names, and what the rewritten text asks for by names that no user can write."""

    def integer_operand(value: Any) -> Any:
        is_single = isinstance(value, bool) or is_integer(value)
        return _IntegerOperand(world, value) if is_single else integers_of_run(world, value)

    def power(base: Any, exp: Any, mod: Any = None) -> Any:
        if mod is not None:
            return builtins.pow(base, exp, mod)
        return integer_operand(base) ** world.written(exp)

    def imported(name: str, *arguments: Any) -> Any:
        # What numpy's C code asks for comes without a kernel's globals.
        return world.twin(builtins.__import__(name, *arguments))

    return {
        DIVIDEND: integer_operand,
        BASE: integer_operand,
        EXPONENT: world.written,
        PRINTED: _printed,
        OWNER: functools.partial(integers_of_run, world),
        "pow": power,
        "sum": functools.partial(builtins.sum, start=NOTHING),
        "max": functools.partial(_extreme, world, compare_signaling_greater, operator.gt),
        "min": functools.partial(_extreme, world, compare_signaling_less, operator.lt),
        "float": world.twin(float),
        "complex": world.twin(complex),
        "__import__": imported,
    }


def operator_function(world: World, function: Any) -> Any:
    """A function of Python's module operator: what its sign does in a kernel."""

    def divided(x: Any, y: Any) -> Any:
        return world.builtins[DIVIDEND](x) / (world.converted(y) if is_integer(y) else y)

    signs = {
        "truediv": divided,
        "itruediv": divided,
        "pow": world.builtins["pow"],
        "ipow": world.builtins["pow"],
    }
    return signs.get(function.__name__, function)


def _printed(value: Any) -> Any:
    """What `%` puts into a text: to print a number is not to compute with it."""
    match value:
        case tuple():
            return tuple(map(_printed, value))
        case dict():
            return {name: _printed(each) for name, each in value.items()}
        case Number():
            return value._host_float()
    return value


def _extreme(
    world: World,
    compare: Any,
    compare_on_host: Any,
    *values: Any,
    key: Any = None,
    **default: Any,
) -> Any:
    """Python's max and min: from element to element the one that compares so with the best before it.

    Beside a number a literal is a number too, so that what comes out is one.
    """
    candidates = list(values[0] if len(values) == 1 else values)
    if not candidates:
        return builtins.max(candidates, **default)  # its error, where there is no default
    if any(isinstance(value, Emulated) for value in candidates):
        candidates = [world.format(int(value)) if type(value) is Literal else value for value in candidates]
    keys = candidates if key is None else [key(value) for value in candidates]
    best = 0
    for place in range(1, len(keys)):
        if _together(world, compare, compare_on_host, keys[place], keys[best]):
            best = place
    return int(candidates[best]) if type(candidates[best]) is Literal else candidates[best]


def _together(world: World, operation: Any, on_host: Any, x: Any, y: Any) -> Any:
    """An operation of the target if one of the values is emulated, an int beside it converted."""
    if not isinstance(x, Emulated) and not isinstance(y, Emulated):
        return on_host(x, y)
    return operation(*(world.converted(value) if is_integer(value) else value for value in (x, y)))


class _IntegerOperand:
    """An int on the left of `/` or `**`, where Python would make a float of two ints.

    `i / n` converts both and divides; beside anything else the int is what it was.
    """

    __slots__ = ("_value", "_world")

    def __init__(self, world: World, value: Any) -> None:
        self._world, self._value = world, value

    def __truediv__(self, other: Any) -> Any:
        world = self._world
        if is_integer(other):
            other = world.converted(other)
        if isinstance(other, Emulated):
            return division(world.converted(self._value), other)  # counted at the line of the kernel
        return (world.converted(self._value) if is_emulated(other) else self._value) / other

    def __pow__(self, other: Any) -> Any:
        if is_integer(other) and other >= 0:
            return self._value**other
        return self._world.converted(self._value) ** other
