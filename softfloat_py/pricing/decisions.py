"""What of a program only decides, and how compiled code asks for it.

A truth that nothing uses but an `if`, or the condition of a choice, is in the flags and in no register. If
several are joined by `or` or `and`, C asks one after the other, as `||` and `&&` do: each takes a branch, and
none is made a number. What is turned round takes nothing, since the branch is turned. Where instructions are
done on a condition, a short side of an `if` takes no branch (common practice, no source).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from math import inf

from softfloat_py.integer_form.grammar import Block, If, Operand, Program, Step, Variable, used_by
from softfloat_py.integer_form.walking import visits
from softfloat_py.keeping import kept

JOINING = ("and", "or", "not")


class Decisions:
    """The `deciding` values of a program, the steps that join them, each in a branch of its own, and which of
    them comparisons made.
    """

    def __init__(self, program: Program) -> None:
        steps = {step.target: step for step in program.body.all_steps()}
        self.compared = frozenset(v for v, step in steps.items() if step.kind.counted_as == "compare")
        self.deciding = _deciding(program)
        self.joining = frozenset(
            step for step in steps.values() if step.target in self.deciding and joins_truths(step)
        )
        self.joined = frozenset(step.target for step in self.joining)

    def uncompared(self, operands: tuple[Operand, ...]) -> list[Variable]:
        """Those of some truths that neither a comparison nor a join of others made: a branch on one of them
        asks for it first.
        """
        made = self.compared | self.joined
        return [operand for operand in operands if isinstance(operand, Variable) and operand not in made]


@kept
def short_sides(program: Program, native: frozenset[Step], most: int) -> Mapping[If, tuple[Block, Block]]:
    """The `if`s of which one side does nothing and the other no more than a few native steps, so that these
    can be done on the condition, without a branch: the side that does something, and the other one.
    """
    short: dict[If, tuple[Block, Block]] = {}
    for statement in program.body.all_statements():
        if isinstance(statement, If):
            sides = statement.then, statement.otherwise
            for side, other in (sides, sides[::-1]):
                if not other.statements and 0 < _native_steps(side, native) <= most:
                    short[statement] = side, other
    return short


def _native_steps(block: Block, native: frozenset[Step]) -> float:
    """How many steps a block takes, if all are native; more than any number if not."""
    counted = [s for s in block.statements if not (isinstance(s, Step) and s.kind.counted_as is None)]
    return len(counted) if all(statement in native for statement in counted) else inf


@kept
def decisions_of(program: Program) -> Decisions:
    """The decisions of a program."""
    return Decisions(program)


def joins_truths(step: Step) -> bool:
    """Whether a step joins truths, or turns one round."""
    return step.kind.counted_as in JOINING and all(operand.width == 1 for operand in step.operands)


def _deciding(program: Program) -> frozenset[Variable]:
    """The values that only decide: those that are joined are met after what they are joined to."""
    deciding: Counter[Operand] = Counter()
    used: Counter[Operand] = Counter()
    for visit in reversed(list(visits(program.body))):
        statement = visit.statement
        used.update(used_by(statement))
        if isinstance(statement, If):
            deciding[statement.condition] += 1
        elif isinstance(statement, Step):
            deciding.update(statement.operands[place] for place in statement.kind.conditions)
            if joins_truths(statement) and deciding[statement.target] == used[statement.target] > 0:
                deciding.update(statement.operands)
    return frozenset(
        value for value, times in deciding.items() if isinstance(value, Variable) and used[value] == times
    )
