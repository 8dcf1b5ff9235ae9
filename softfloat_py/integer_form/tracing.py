"""Routines written out by running them: Python itself calls them with operands that note the steps.

It gives the steps that reading the text gives, many times faster, for a routine that has neither a branch on
what only a run knows nor a loop that stays one; for any other it gives up. Names and places of the source,
which only a reader sees, are not noted. A name copied to another must be a `move` in so many words.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NoReturn

from softfloat_py.integer_form.builder import Builder
from softfloat_py.integer_form.calling import changed
from softfloat_py.integer_form.grammar import Constant, Operand, Variable
from softfloat_py.routines.language import Bits, Routine
from softfloat_py.routines.steps import Immediate


class Untraceable(Exception):
    """A routine asks for what only a run knows."""


class Traced(Bits):
    """A value that only a run knows: its variable in the form under construction."""

    __slots__ = ("builder", "variable")

    def __init__(self, variable: Variable, builder: Builder) -> None:
        self.variable = variable
        self.builder = builder
        self.width = variable.width

    def step(self, name: str, operands: tuple[Bits | int, ...], immediate: Immediate) -> Bits:
        """Note a step of which this is an operand, and give its result."""
        return bits_of(self.builder.emit(name, [_operand(one) for one in operands], immediate), self.builder)

    def __bool__(self) -> NoReturn:
        raise Untraceable

    def __index__(self) -> NoReturn:
        raise Untraceable


def bits_of(operand: Operand, builder: Builder) -> Bits:
    """An operand of the form as a routine that runs has it."""
    return Bits(operand.value, operand.width) if isinstance(operand, Constant) else Traced(operand, builder)


def _operand(value: Bits | int) -> Operand | int:
    if isinstance(value, Traced):
        return value.variable
    return Constant(value.value, value.width) if isinstance(value, Bits) else value


def trace_out(builder: Builder, routine: Routine, arguments: Mapping[str, Any]) -> Any:
    """Add a routine's steps to a form under construction and give its value. Raises Untraceable."""

    def given(value: Any) -> Any:
        return bits_of(value, builder) if isinstance(value, Variable | Constant) else value

    def taken(value: Any) -> Any:
        return _operand(value) if isinstance(value, Bits) else value

    return changed(routine(**{name: changed(value, given) for name, value in arguments.items()}), taken)
