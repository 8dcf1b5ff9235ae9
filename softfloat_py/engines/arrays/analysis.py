"""What the writer of array code finds out about a program before it writes."""

from __future__ import annotations

from collections.abc import Sequence

from softfloat_py.engines.arrays.spellings import dtype_name, working_width
from softfloat_py.engines.text import operands_of
from softfloat_py.integer_form.grammar import (
    Block,
    Constant,
    If,
    Join,
    Loop,
    Operand,
    Program,
    Step,
    Variable,
    assigned_by,
)
from softfloat_py.routines.steps import StepKind
from softfloat_py.routines.tables import Table


def changes_of(join: Join, statement: If) -> list[Step]:
    """The steps that make a join's one value from its other, where changing it by 0 would leave it alone.

    Then x - y or x is x - (y or 0), which saves computing both and choosing. None if there are no such steps.
    """
    steps = {step.target: step for step in statement.then.statements if isinstance(step, Step)}
    dtype = dtype_name(join.target.width)
    changes: list[Step] = []
    value = join.if_true
    while value != join.if_false:
        step = steps.get(value) if isinstance(value, Variable) else None
        if step is None or not _is_changed_by_second(step.kind):
            return []
        if {dtype_name(step.target.width), dtype_name(working_width(step))} != {dtype}:
            return []
        if step.kind.modular and step.target.width < join.target.width:
            return []  # what wraps around in fewer bits is changed by 0 as well
        changes.insert(0, step)
        value = step.operands[0]
    return changes


def _is_changed_by_second(kind: StepKind) -> bool:
    """Whether a kind gives its first operand if the second is 0, or always; sums are no quicker like that."""
    return kind.renames or (0 in kind.kept_beside_zeros and (kind.bitwise or not kind.commutative))


def tables_of(program: Program) -> list[Table]:
    """The tables that a program reads, in the order in which they stand in its code as `tables`."""
    immediates = (step.immediate for step in program.body.all_steps())
    return list(dict.fromkeys(table for table in immediates if isinstance(table, Table)))


def uniform_variables(program: Program) -> set[Variable]:
    """The variables that are the same for all elements."""
    return _uniform_after(program.body, set(program.uniform))


def _uniform_after(block: Block, before: set[Variable]) -> set[Variable]:
    """The variables that are the same for all elements once a block is done."""
    uniform = set(before)
    for statement in block.statements:
        match statement:
            case Step(target=target, operands=operands) if all(_is_same(o, uniform) for o in operands):
                uniform.add(target)
            case If(then=then, otherwise=otherwise, joins=joins):
                uniform = _uniform_after(otherwise, _uniform_after(then, uniform))
                if statement.condition in uniform:
                    sides = ((join.target, (join.if_true, join.if_false)) for join in joins)
                    uniform.update(t for t, values in sides if all(_is_same(v, uniform) for v in values))
            case Loop():
                uniform = _uniform_after_loop(statement, uniform)
    return uniform


def _uniform_after_loop(loop: Loop, before: set[Variable]) -> set[Variable]:
    """The same for a loop: what begins the same and follows from what is the same stays so.

    Unless elements may differ in how many rounds they take.
    """
    together = isinstance(loop.count, int)
    carried = [item for item in loop.carried if together and _is_same(item.initial, before)]
    while True:
        uniform = _uniform_after(loop.body, before | {item.variable for item in carried})
        remaining = [item for item in carried if _is_same(item.following, uniform)]
        if remaining == carried:
            return uniform
        carried = remaining


def _is_same(operand: Operand | None, uniform: set[Variable]) -> bool:
    return operand is None or isinstance(operand, Constant) or operand in uniform


def live_into(blocks: Sequence[Block], leaving: Sequence[Operand | None]) -> list[Variable]:
    """The variables from outside that blocks use, and those outside among the values they leave behind."""
    used: dict[Variable, None] = {}
    defined: set[Variable] = set()
    for block in (inner for outer in blocks for inner in outer.walk()):
        used.update((o, None) for o in operands_of(block) if isinstance(o, Variable))
        for statement in block.statements:
            defined.update(assigned_by(statement))
    used.update((o, None) for o in leaving if isinstance(o, Variable))
    return [variable for variable in used if variable not in defined]
