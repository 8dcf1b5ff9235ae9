"""How a call of a function becomes a use of an operation: the values' format, encodings, the direction."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from softfloat_py.environment import Rounding, current, environment
from softfloat_py.errors import OperandError
from softfloat_py.numbers.constants import refusal
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.operands import bits_beside
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import Operation


def format_among(operation: Operation, *values: Any) -> ValueSystem:
    """The format of the first emulated value; OperandError where there is none."""
    for value in values:
        if isinstance(value, Emulated):
            return value.format
    raise OperandError(
        f"{operation.name} needs an emulated number or array, not {' and '.join(map(repr, values))}; "
        "make one by calling a format, for example binary32(1.5)"
    )


def encodings_of(operation: Operation, fmt: ValueSystem, value: Any) -> Any:
    """The encodings of an emulated value of a format, or of a constant beside it."""
    if isinstance(value, Emulated) and value._format is fmt:
        return value._bits
    bits = bits_beside(fmt, value, operation.name)
    if bits is NotImplemented:
        raise refusal(operation.name, fmt.name, value)
    return bits


def rounding_towards(rounding: Rounding | None, compute: Callable[[], Any]) -> Any:
    """What `compute` gives with another direction in force; the flags it raises stay raised."""
    if rounding is None:
        return compute()
    outer = current.get()
    with environment(rounding=rounding) as inner:
        result = compute()
    outer.raised |= inner.raised
    return result
