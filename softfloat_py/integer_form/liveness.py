"""Which values a program still needs at each of its statements.

Whoever carries a program out on a CPU has to keep them somewhere: as long as there are registers enough, in
registers. Steps that only say where bits already are give their operands another name, which counts no more.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    If,
    Loop,
    Note,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
)
from softfloat_py.keeping import kept

Values = frozenset[Variable]


@dataclass(frozen=True, slots=True, eq=False)
class Liveness:
    """For each statement, by identity, the values needed after it; `names` leads from a renamed value to
    what is kept.
    """

    after: dict[int, Values] = field(default_factory=dict)
    names: dict[Variable, Values] = field(default_factory=dict)

    def values_of(self, operands: Iterable[Operand | None]) -> Values:
        """The values that operands are, under the names they are kept by."""
        variables = [operand for operand in operands if isinstance(operand, Variable)]
        return frozenset(kept for variable in variables for kept in self.names.get(variable, (variable,)))

    def is_needed_after(self, statement: Statement, operand: Operand) -> bool:
        """Whether an operand is needed after a statement; a constant never is."""
        if not isinstance(operand, Variable):
            return False
        return not self.after[id(statement)].isdisjoint(self.names.get(operand, (operand,)))


@kept
def liveness_of(program: Program) -> Liveness:
    """What is needed after each statement of a program."""
    liveness = Liveness(names=_names(program))
    _before_block(program.body, frozenset(), liveness)
    return liveness


def _names(program: Program) -> dict[Variable, Values]:
    names: dict[Variable, Values] = {}
    for step in program.body.all_steps():
        if step.kind.counted_as is None and any(isinstance(operand, Variable) for operand in step.operands):
            variables = [operand for operand in step.operands if isinstance(operand, Variable)]
            names[step.target] = frozenset().union(*(names.get(one, {one}) for one in variables))
    return names


def _before_block(block: Block, after: Values, liveness: Liveness) -> Values:
    """The values needed before a block, from those needed after it."""
    for statement in reversed(block.statements):
        liveness.after[id(statement)] = after
        after = _before(statement, after, liveness)
    return after


def _before(statement: Statement, after: Values, liveness: Liveness) -> Values:
    match statement:
        case Step(target=target, operands=operands, kind=kind):
            if kind.counted_as is None:
                return after
            return after - {target} | liveness.values_of(operands)
        case Call(targets=targets, operands=operands):
            return after - set(targets) | liveness.values_of(operands)
        case Return(results=results):
            return liveness.values_of(results)
        case If():
            return _before_if(statement, after, liveness)
        case Loop():
            return _before_loop(statement, after, liveness)
        case Note():
            return after


def _before_if(statement: If, after: Values, liveness: Liveness) -> Values:
    apart = after - {join.target for join in statement.joins}
    then = _before_block(
        statement.then, apart | liveness.values_of(j.if_true for j in statement.joins), liveness
    )
    otherwise = _before_block(
        statement.otherwise, apart | liveness.values_of(j.if_false for j in statement.joins), liveness
    )
    return then | otherwise | liveness.values_of([statement.condition])


def _before_loop(statement: Loop, after: Values, liveness: Liveness) -> Values:
    carried = {item.variable for item in statement.carried}
    at_end = (after - carried) | liveness.values_of(item.following for item in statement.carried)
    before_body = _before_block(statement.body, at_end, liveness)
    # What a round needs, the round before must keep: a second pass sees it.
    before_body = _before_block(statement.body, at_end | (before_body - carried), liveness)
    needed = (before_body | after) - carried | liveness.values_of(item.initial for item in statement.carried)
    return needed | (
        liveness.values_of([statement.count]) if isinstance(statement.count, Variable) else frozenset()
    )
