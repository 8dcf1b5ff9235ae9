"""What a run of each stretch of a program has to pay for: its steps, constants, and the cost of control flow.

This is the only place, beside the stepwise engine, which keeps counts of its own, that says what control flow
costs. Counts and prices are two functions of a charge.

- An operand that is a constant is loaded, except for the constant distance of a shift; so is a constant that
  is returned, that a loop begins with, or that one side of an `if` brings along where control meets again.
- An `if` whose condition holds falls through (branch not taken), otherwise jumps (taken), and a side that
  ends above the other jumps over it. A first side that returns lies out of line, as compilers lay it: coming
  there is a jump, passing by is none.
- The call and the return are charged to the program that is called, once a call; the one that calls is
  charged the constants that it hands over, and whatever a CPU does beside the call (see `pricing.calls`).
- A loop of fixed length counts down: a subtraction and a branch a round, the last one not taken; one of
  variable length tests before each round.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import Enum, auto
from typing import NamedTuple

from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    Constant,
    If,
    Loop,
    Operand,
    Program,
    Return,
    Statement,
    Step,
)
from softfloat_py.integer_form.walking import last_stretch
from softfloat_py.routines.phases import CALL
from softfloat_py.routines.steps import constant_width


class Role(Enum):
    """What a charge is for."""

    AROUND = auto()  # being called, and returning
    STEP = auto()  # a step itself
    OPERAND = auto()  # a constant among a step's operands
    PLACED = auto()  # a constant brought to a place of its own
    DECISION = auto()  # the branch that an `if` begins with
    BRANCH = auto()  # any other branch
    ROUNDS = auto()  # the number of rounds, set before a loop
    COUNTDOWN = auto()  # a round taken off
    BESIDE_CALL = auto()  # what a call takes in the program that calls; it is priced, and counted as nothing


class Charge(NamedTuple):
    """One thing that is done whenever a stretch runs, and how often.

    It is counted as a `kind` of a `width` in bits (0 where it has none). `statement` is what it is done for,
    `constant` what is brought. A loop's way out is charged to the stretch around it, which takes back one of
    the branches that its rounds are charged: so `times` may be -1.
    """

    stretch: int
    role: Role
    phase: str
    kind: str
    width: int = 0
    statement: Statement | None = None
    constant: Constant | None = None
    times: int = 1


def charges_of(program: Program) -> Iterator[Charge]:
    """All charges of a program, block by block, in the order of the text."""
    yield Charge(0, Role.AROUND, CALL, "call")
    yield Charge(0, Role.AROUND, CALL, "return")
    for block in program.body.walk():
        yield from _of_block(block)


def _of_block(block: Block) -> Iterator[Charge]:
    stretch = block.number
    for statement in block.statements:
        match statement:
            case Step():
                yield from _of_step(statement, stretch)
            case Return(results=results):
                yield from _placed(statement, stretch, statement.phase, results)
            case Call(phase=phase, operands=operands):
                yield from _placed(statement, stretch, phase, operands)
                yield Charge(stretch, Role.BESIDE_CALL, phase, "call", statement=statement)
            case If():
                yield from _of_if(statement)
                stretch = stretch if statement.after is None else statement.after
            case Loop():
                yield from _of_loop(statement, stretch)


def _of_step(step: Step, stretch: int) -> Iterator[Charge]:
    yield from _constants(Role.OPERAND, step, stretch, step.phase, step.operands)
    if step.kind.counted_as is not None:
        width = step.kind.counted_width([operand.width for operand in step.operands], step.target.width)
        yield Charge(stretch, Role.STEP, step.phase, step.kind.counted_as, width, step)


def _of_if(statement: If) -> Iterator[Charge]:
    """What an `if` costs on either side: in the stretch a side begins with, and where it comes out at its
    end.
    """
    phase, then, otherwise = statement.phase, statement.then, statement.otherwise
    held, missed = (
        ("branch_taken", "branch_not_taken") if then.returns else ("branch_not_taken", "branch_taken")
    )
    yield Charge(then.number, Role.DECISION, phase, held, statement=statement)
    yield Charge(otherwise.number, Role.DECISION, phase, missed, statement=statement)
    for join in statement.joins:
        yield from _placed(statement, last_stretch(then), phase, [join.if_true])
        yield from _placed(statement, last_stretch(otherwise), phase, [join.if_false])
    if otherwise.statements and not then.returns:
        yield Charge(last_stretch(then), Role.BRANCH, phase, "branch_taken", statement=statement)


def _of_loop(loop: Loop, stretch: int) -> Iterator[Charge]:
    phase, body, count = loop.phase, loop.body.number, loop.count
    yield from _placed(loop, stretch, phase, (item.initial for item in loop.carried))
    width = constant_width(count) if isinstance(count, int) else count.width
    yield Charge(body, Role.COUNTDOWN, phase, "subtract", width, loop)
    yield Charge(body, Role.BRANCH, phase, "branch_taken", statement=loop)
    if isinstance(count, int):
        yield Charge(stretch, Role.ROUNDS, phase, "load_constant", width, loop)
        yield Charge(stretch, Role.BRANCH, phase, "branch_not_taken", statement=loop)
        yield Charge(stretch, Role.BRANCH, phase, "branch_taken", statement=loop, times=-1)
    else:
        yield Charge(body, Role.BRANCH, phase, "branch_not_taken", statement=loop)
        yield Charge(stretch, Role.BRANCH, phase, "branch_taken", statement=loop)


def _placed(
    statement: Statement, stretch: int, phase: str, operands: Iterable[Operand | None]
) -> Iterator[Charge]:
    return _constants(Role.PLACED, statement, stretch, phase, operands)


def _constants(
    role: Role, statement: Statement, stretch: int, phase: str, operands: Iterable[Operand | None]
) -> Iterator[Charge]:
    for operand in operands:
        if isinstance(operand, Constant):
            width = constant_width(operand.value)
            yield Charge(stretch, role, phase, "load_constant", width, statement, operand)
