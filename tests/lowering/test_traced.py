"""Expansions written out by running them are those that reading their text gives, step for step."""

from __future__ import annotations

from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.integer_form.grammar import Constant, Operand, Program, Return, Step, Variable
from softfloat_py.integer_form.reader import write_out
from softfloat_py.integer_form.tracing import Untraceable, trace_out
from softfloat_py.lowering.expansions import EXPANSIONS, Value, can_be_traced, machine_of, written_by
from softfloat_py.lowering.machine import Machine
from softfloat_py.routines.language import Bits
from softfloat_py.routines.steps import STEPS
from softfloat_py.routines.tables import Table

MACHINES = sorted({sf.cost_model(name).machine for name in sf.cost_models()}, key=repr)
WIDTHS = ((5, 3), (24, 24), (37, 12), (64, 33), (72, 70))
IMMEDIATES: dict[str, Any] = {"shift_left": 3, "shift_right": 3, "look_up": Table((3, 900, 70_000, 1 << 40))}


def told(program: Program) -> list[object]:
    """A program's statements without names and places, its values numbered in their order."""
    numbers: dict[Variable, int] = {}

    def value(operand: Operand) -> tuple[object, ...]:
        if isinstance(operand, Constant):
            return operand.value, operand.width, "constant"
        return numbers.setdefault(operand, len(numbers)), operand.width

    lines: list[object] = [value(parameter) for parameter in program.parameters]
    for statement in program.body.statements:
        match statement:
            case Step():
                operands = [value(operand) for operand in statement.operands]
                target = value(statement.target)
                lines.append((statement.kind.name, operands, statement.immediate, target, statement.phase))
            case Return():
                lines.append([value(result) for result in statement.results])
            case _:
                lines.append(type(statement).__name__)
    return lines


def variants(kind: str, widths: tuple[int, int]) -> list[tuple[Constant | Value, ...]]:
    """Operands of a kind of step: unknown, with zeros, beside a constant."""
    first, second = Value(widths[0]), Value(widths[1])
    if kind == "select":
        return [(Value(1), first, second)]
    if STEPS[kind].arity == 1:
        return [(first,)]
    return [(first, second), (Constant(5, widths[0]), second), (Value(widths[0], 8), second)]


def compared(kind: str, machine: Machine) -> int:
    """How many expansions of a kind on a machine were traced, and found the same."""
    row, same = STEPS[kind], 0
    for widths in WIDTHS:
        immediate = {"add_modulo": widths[0], "subtract_modulo": widths[0], "resize": widths[0] + 2}.get(
            kind, IMMEDIATES.get(kind, 0)
        )
        for operands in variants(kind, widths):
            width = row.width([operand.width for operand in operands], immediate)
            if width < 1:
                continue
            shape = (kind, operands, immediate, width, machine_of(kind, machine))
            try:
                traced = written_by(trace_out, *shape)
            except Untraceable:
                continue
            assert told(written_by(write_out, *shape).program) == told(traced.program)
            same += 1
    return same


@pytest.mark.parametrize("machine", MACHINES[::4], ids=lambda machine: f"word{machine.word}")
def test_traced_expansions_are_the_read_ones(machine: Machine) -> None:
    """All kinds that can be traced, where they have no branch."""
    kinds = [kind for kind in EXPANSIONS if can_be_traced(kind, machine)]

    assert sum(compared(kind, machine) for kind in kinds) > 50


def test_a_branch_is_not_traced() -> None:
    """What asks for a value of a run gives up, whatever it asks by."""
    from softfloat_py.integer_form.builder import Builder

    def branching(x: Bits) -> Bits:
        return x + 1 if x == 1 else x

    def repeating(x: Bits) -> Bits:
        for _ in range(x):
            x = x ^ 1
        return x

    for routine in (branching, repeating):
        builder = Builder()
        with pytest.raises(Untraceable):
            trace_out(builder, routine, {"x": builder.variable("x", 4)})
