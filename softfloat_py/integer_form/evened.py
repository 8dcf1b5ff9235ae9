"""A program whose steps have operands of one width, for whoever computes in one width at a time.

Each operand is brought to the width that its step is computed in, as the kind's row has it: in more bits, or
cut where its lowest bits alone are used. What comes out in more bits than before is zero there, and goes on
in the bits it had. Conditions stay one bit wide, and the words of the lowering as they are.

The form is the same otherwise, stretches included; it is not what is counted. A program that is called is one
by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import count

from softfloat_py.integer_form.grammar import Block, Constant, Operand, Program, Statement, Step, Variable
from softfloat_py.integer_form.walking import with_blocks
from softfloat_py.routines.algebra import ones
from softfloat_py.routines.steps import STEPS, Computed


def evened(program: Program) -> Program:
    """The same program with operands of equal widths."""
    numbers = count(program.highest_number + 1)
    return replace(program, body=_block(program.body, numbers))


def computing_width(step: Step) -> int | None:
    """The width in which a step is computed; None where each operand stands in its own."""
    widths = [operand.width for operand in step.operands]
    match step.kind.computed_in:
        case Computed.RESULT:
            return step.target.width
        case Computed.FIRST:
            return widths[0]
        case Computed.WIDEST:
            return max(widths)
        case Computed.OWN:
            return None


def _block(block: Block, numbers: count[int]) -> Block:
    statements = (new for statement in block.statements for new in _statements(statement, numbers))
    return replace(block, statements=tuple(statements))


def _statements(statement: Statement, numbers: count[int]) -> Iterator[Statement]:
    """What stands for a statement."""
    if not isinstance(statement, Step):
        yield with_blocks(statement, lambda block: _block(block, numbers))
        return
    width = computing_width(statement)
    operands: list[Operand] = []
    for place, operand in enumerate(statement.operands):
        if width is None or operand.width == width or place in statement.kind.conditions:
            operands.append(operand)
        elif isinstance(operand, Constant):
            operands.append(Constant(operand.value & ones(width), width))
        else:
            cut = statement.kind.modular and operand.width > width
            fitted = Variable(operand.name, next(numbers), width)
            yield _of(statement, "low_word" if cut else "resize", operand, fitted)
            operands.append(fitted)
    delivered = statement.kind.width([operand.width for operand in operands], statement.immediate)
    if delivered == statement.target.width:
        yield replace(statement, operands=tuple(operands))
        return
    whole = Variable(statement.target.name, next(numbers), delivered)
    yield replace(statement, operands=tuple(operands), target=whole)
    yield _of(statement, "resize", whole, statement.target)


def _of(step: Step, kind: str, operand: Operand, target: Variable) -> Step:
    """A step beside another that gives a value a width."""
    return replace(step, kind=STEPS[kind], operands=(operand,), immediate=target.width, target=target)
