"""A program in the order in which a compiler of C has it done.

A routine says what is to be computed; a compiler computes it where it is needed. What a value is written into
once, it computes there; and what is needed on one side of a decision alone, it computes on that side (common
practice, no source; GCC calls it sinking). So an operand that turns out to be zero leaves before it has been
taken apart.

A step goes into no loop, which would have it done again and again, and stays if its feature is noted, since a
tally knows only how often it met which where the routine has it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import takewhile

from softfloat_py.integer_form.counting import bill_of
from softfloat_py.integer_form.grammar import (
    Block,
    If,
    Loop,
    Operand,
    Program,
    Statement,
    Step,
    Variable,
    used_by,
)
from softfloat_py.integer_form.walking import with_blocks
from softfloat_py.keeping import kept

# The blocks around a statement, outermost first.
Place = tuple[Block, ...]

# Where a value is used, and by which statement, or by the end of which block.
Used = tuple[Place, Statement | Block]


@kept
def as_compiled(program: Program) -> Program:
    """The program with each step where compiled code has it, in the same stretches."""
    return replace(program, body=_Order(program).block(program.body))


class _Order:
    """Finds the place of each step, from the last one to the first: those that use it have theirs already."""

    def __init__(self, program: Program) -> None:
        self.stays = {site.step for site in bill_of(program).sites}
        self.bodies = {loop.body for loop in program.body.all_loops()}
        self.uses: defaultdict[Operand, list[Used]] = defaultdict(list)
        self.at_front: defaultdict[Block, list[Step]] = defaultdict(list)
        self.before: defaultdict[int, list[Step]] = defaultdict(list)
        self.moved: set[Step] = set()
        self.find_places(program.body, (program.body,))

    def find_places(self, block: Block, place: Place) -> None:
        """Find the places of the steps of a block, and of those in the blocks inside it."""
        for statement in reversed(block.statements):
            match statement:
                case Step():
                    statement_place = self.place_of(statement, place)
                    self.use(statement.operands, statement_place, statement)
                case If(then=then, otherwise=otherwise, joins=joins):
                    for join in joins:
                        self.use([join.if_true], (*place, then), then)
                        self.use([join.if_false], (*place, otherwise), otherwise)
                    self.use([statement.condition], place, statement)
                    self.find_places(otherwise, (*place, otherwise))
                    self.find_places(then, (*place, then))
                case Loop(body=body):
                    self.use(used_by(statement), place, statement)
                    self.find_places(body, (*place, body))
                case _:
                    self.use(used_by(statement), place, statement)

    def use(self, operands: Iterable[Operand | None], place: Place, by: Statement | Block) -> None:
        """Note what is used where, by a statement or when a block is left."""
        for operand in operands:
            if isinstance(operand, Variable):
                self.uses[operand].append((place, by))

    def place_of(self, step: Step, place: Place) -> Place:
        """Where a step of a place is done, which is noted."""
        uses = self.uses[step.target]
        if step in self.stays or not uses:
            return place
        inner = self.sides_around(uses, place)
        if inner:
            self.at_front[inner[-1]].insert(0, step)
            self.moved.add(step)
            return (*place, *inner)
        if _is_only_here(uses, place):
            self.before[id(uses[0][1])].append(step)
            self.moved.add(step)
        return place

    def sides_around(self, uses: Sequence[Used], place: Place) -> Place:
        """The blocks inside a place that all uses are in, down to the next loop."""
        common = _common([used for used, _ in uses])
        return tuple(takewhile(lambda block: block not in self.bodies, common[len(place) :]))

    # -- the program made anew -------------------------------------------------------------------------

    def block(self, block: Block) -> Block:
        """A block with the steps that belong into it."""
        statements: list[Statement] = []
        for statement in (*self.at_front[block], *block.statements):
            if statement not in self.moved or statement in self.at_front[block]:
                self.add(statement, statements)
        self.add_before(block, statements)
        return replace(block, statements=tuple(statements))

    def add(self, statement: Statement, statements: list[Statement]) -> None:
        """Add a statement, and before it the steps that nothing else uses."""
        self.add_before(statement, statements)
        statements.append(with_blocks(statement, self.block))

    def add_before(self, user: Statement | Block, statements: list[Statement]) -> None:
        """Add the steps that only this uses."""
        for step in reversed(self.before[id(user)]):
            self.add(step, statements)


def _is_only_here(uses: Sequence[Used], place: Place) -> bool:
    """Whether one statement alone uses a value, at this place."""
    return len(uses) == 1 and uses[0][0] == place


def _common(places: Sequence[Place]) -> Place:
    """The blocks that all places have around them."""
    return tuple(blocks[0] for blocks in takewhile(_all_the_same, zip(*places, strict=False)))


def _all_the_same(blocks: Sequence[Block]) -> bool:
    return all(block is blocks[0] for block in blocks)
