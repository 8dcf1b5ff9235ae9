"""What goes into a routine that is called and what comes out of it: bits, alone or in tuples.

A routine that is called is read once for each signature: which of its parameters are bits known only at run
time, and what all others are. Calls of the same signature call the same program.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from softfloat_py.integer_form.builder import Builder, Fault
from softfloat_py.integer_form.grammar import Call, Operand, Program, Variable
from softfloat_py.integer_form.meeting import rebuilt


class Incoming(NamedTuple):
    """Bits that only a run knows; `is_uniform` where they are the same for all elements of an array."""

    width: int
    is_uniform: bool


class Fixed(NamedTuple):
    """What is fixed where the routine is called. Its type is kept, for 1 and True are equal."""

    kind: type
    value: Any


class Parts(NamedTuple):
    """A tuple of others, which may be a named one."""

    kind: type
    parts: tuple[Any, ...]


# For each parameter by name, what it is: one of the three above.
Signature = tuple[tuple[str, Any], ...]


class Called(NamedTuple):
    """A routine as it is called: its program, and one of its results, as tuples have it."""

    program: Program
    result: Any


def leaves(value: Any) -> Iterator[Any]:
    """The parts of a value that are no tuples, in order."""
    if isinstance(value, tuple):
        for part in value:
            yield from leaves(part)
    else:
        yield value


def changed(value: Any, change: Callable[[Any], Any]) -> Any:
    """A value with each part that is no tuple changed, in order."""
    if isinstance(value, tuple):
        return rebuilt(value, [changed(part, change) for part in value])
    return change(value)


def shape_of(value: Any) -> Any:
    """What two values have in common whose parts can take each other's place."""
    return (type(value), *map(shape_of, value)) if isinstance(value, tuple) else None


def signature_of(arguments: Mapping[str, Any], uniform: frozenset[Variable]) -> Signature:
    """The signature of a call; `uniform` are the values that are the same for all elements of an array.

    Raises Fault for what is fixed and cannot be compared, as lists cannot.
    """
    signature = tuple((name, _kind_of(value, uniform)) for name, value in arguments.items())
    try:
        hash(signature)
    except TypeError as error:
        raise Fault(f"what is fixed in a routine that is called must be hashable: {error}") from None
    return signature


def _kind_of(value: Any, uniform: frozenset[Variable]) -> Any:
    if isinstance(value, Variable):
        return Incoming(value.width, value in uniform)
    if isinstance(value, tuple):
        return Parts(type(value), tuple(_kind_of(part, uniform) for part in value))
    return Fixed(type(value), value)


def argument_of(kind: Any, parameter: Callable[[Incoming], Variable]) -> Any:
    """An argument as the routine that is called has it; `parameter` makes a variable for bits."""
    match kind:
        case Incoming():
            return parameter(kind)
        case Parts(kind=tuple_type, parts=parts):
            arguments = [argument_of(part, parameter) for part in parts]
            return tuple_type(*arguments) if hasattr(tuple_type, "_fields") else tuple(arguments)
        case Fixed(value=value):
            return value


def add_call(builder: Builder, called: Called, arguments: Mapping[str, Any]) -> tuple[Any, Operand | None]:
    """Add the call of a routine; gives its result, and the flags raised if it can raise any."""
    program = called.program
    operands = tuple(v for value in arguments.values() for v in leaves(value) if isinstance(v, Variable))
    targets = tuple(builder.variable(program.name, width) for width in program.result_widths)
    builder.statements.append(Call(targets, program, operands, builder.phase, builder.position))
    coming = iter(targets)
    result = changed(called.result, lambda _: next(coming))
    return result, next(coming, None)
