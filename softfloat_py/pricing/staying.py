"""What stays put away from one product to the next.

A product of several steps takes registers from what it does not touch, which is put away before it. What
nothing touches until the next product stays where it is, and is neither fetched back nor put away again
(common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping

from softfloat_py.integer_form.grammar import Block, If, Loop, Program, Statement, Step, assigned_by, used_by
from softfloat_py.integer_form.liveness import Liveness, Values, liveness_of

NOTHING: Values = frozenset()


def staying_values(program: Program, native: frozenset[Step]) -> Mapping[Step, Values]:
    """For each product of several steps, what has been put away for one before it and not touched since."""
    staying: dict[Step, Values] = {}
    _Walk(staying, native, liveness_of(program)).block(program.body, NOTHING)
    return staying


class _Walk:
    """A walk over a program, `away` being what is put away by then."""

    def __init__(self, staying: dict[Step, Values], native: frozenset[Step], liveness: Liveness) -> None:
        self.staying = staying
        self.native = native
        self.liveness = liveness

    def block(self, block: Block, away: Values) -> Values:
        """What is still put away at the end of a block."""
        for statement in block.statements:
            away = self.statement(statement, away)
        return away

    def statement(self, statement: Statement, away: Values) -> Values:
        """What is still put away after a statement."""
        match statement:
            case Step() if statement.kind.counted_as == "multiply" and statement not in self.native:
                untouched = self.liveness.after[id(statement)] - self.touched_by(statement)
                self.staying[statement] = away & untouched
                return untouched
            case If(then=then, otherwise=otherwise):
                ends = [self.block(side, away) for side in (then, otherwise)]
                going_on = [
                    end for side, end in zip((then, otherwise), ends, strict=True) if not side.returns
                ]
                return frozenset.intersection(*going_on) if going_on else NOTHING
            case Loop(body=body):
                self.block(body, NOTHING)
                inside = frozenset().union(*map(self.touched_by, body.all_statements()))
                return away - inside - self.touched_by(statement)
            case _:
                return away - self.touched_by(statement)

    def touched_by(self, statement: Statement) -> Values:
        """What a statement uses or makes."""
        return self.liveness.values_of(used_by(statement)) | self.liveness.values_of(assigned_by(statement))
