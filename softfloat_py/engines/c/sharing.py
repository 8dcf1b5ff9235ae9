"""Which values of a program share a variable in C.

What comes out of an `if` takes the variable of what went in, if that is not needed any more: then the side
that changes nothing has nothing to say. What a loop carries takes that of what it begins with.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from softfloat_py.engines.c.target import Target
from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    If,
    Loop,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
    assigned_by,
)

END = 1 << 30  # the place after the last statement of a block

# Statement, side, statement, side...: the way from the outermost block to a statement.
Place = tuple[int, ...]


def origin(operand: Operand, same: Mapping[Variable, Operand]) -> Operand:
    """What an operand is another name of."""
    while isinstance(operand, Variable) and operand in same:
        operand = same[operand]
    return operand


class Sharing:
    """Finds out which values can share a variable: the places where each is used must all come before.

    `shared` has, of each value that has no variable of its own, the one whose variable it takes.
    """

    def __init__(
        self,
        program: Program,
        target: Target,
        same: Mapping[Variable, Operand],
        nested: Mapping[Operand, Step],
    ) -> None:
        self.program, self.target = program, target
        self.same, self.nested = same, nested
        self.shared: dict[Variable, Operand] = {}
        self.loops: dict[Operand, Place] = dict.fromkeys(program.parameters, ())
        self.defined: dict[Operand, Place] = {}
        self.uses: dict[Operand, list[Place]] = defaultdict(list)
        self.carried: set[Operand] = set()
        self.joined: set[Operand] = set()  # what comes out of an `if`
        self.find_places(program.body, (), ())
        self.share(program.body, ())

    def variable(self, operand: Operand) -> Operand:
        """The operand whose variable in C holds this one."""
        operand = origin(operand, self.same)
        while isinstance(operand, Variable) and operand in self.shared:
            operand = origin(self.shared[operand], self.same)
        return operand

    # -- places ------------------------------------------------------------------------------------

    def find_places(self, block: Block, inside: Place, loop: Place) -> None:
        """Note where everything is computed, from the front, and where it is used, from the back."""
        for index, statement in enumerate(block.statements):
            self.define(statement, (*inside, index), loop)
        for index, statement in reversed(list(enumerate(block.statements))):
            place = (*inside, index)
            match statement:
                case Step() if statement.target in self.nested:
                    for written in self.uses[statement.target]:
                        self.use(statement.operands, written, loop)
                case Step() if statement.target not in self.same:
                    self.use(statement.operands, place, loop)
                case Call():
                    self.use(statement.operands, place, loop)
                case Return():
                    self.use(statement.results, place, loop)
                case If():
                    self.use([join.if_true for join in statement.joins], (*place, 0, END), loop)
                    self.use([join.if_false for join in statement.joins], (*place, 1, END), loop)
                    self.find_places(statement.otherwise, (*place, 1), loop)
                    self.find_places(statement.then, (*place, 0), loop)
                    self.use([statement.condition], place, loop)
                case Loop():
                    body = (*place, 0)
                    self.carried.update(item.variable for item in statement.carried)
                    self.use([item.following for item in statement.carried], (*body, END), body)
                    self.find_places(statement.body, body, body)
                    self.use([item.initial for item in statement.carried], place, loop)
                    self.use([] if isinstance(statement.count, int) else [statement.count], place, loop)

    def define(self, statement: Statement, place: Place, loop: Place) -> None:
        """Note where a statement's own values are computed."""
        if isinstance(statement, Loop):
            place = loop = (*place, 0)
        for variable in assigned_by(statement):
            self.defined[variable], self.loops[variable] = place, loop
        if isinstance(statement, If):
            self.joined.update(assigned_by(statement))

    def use(self, operands: Iterable[Operand | None], place: Place, loop: Place) -> None:
        """Note a use; of what comes from outside a loop, as one that lasts as long as the loop."""
        for operand in operands:
            used = None if operand is None else origin(operand, self.same)
            if isinstance(used, Variable):
                outside = loop != self.loops.get(used, loop)
                self.uses[used].append(place[: len(loop) - 1] if outside and len(loop) > 1 else place)

    # -- sharing -----------------------------------------------------------------------------------

    def share(self, block: Block, inside: Place, loop: Place = ()) -> None:
        """Let what comes out of each `if` share a variable with what goes in, inner ones first."""
        for index, statement in enumerate(block.statements):
            place = (*inside, index)
            if isinstance(statement, If):
                self.share(statement.then, (*place, 0), loop)
                self.share(statement.otherwise, (*place, 1), loop)
                self.share_joins(statement, place, loop)
            elif isinstance(statement, Loop):
                self.share(statement.body, (*place, 0), (*place, 0))
                self.share_carried(statement, (*place, 0))
                self.share_initial(statement, place, loop)

    def share_carried(self, statement: Loop, body: Place) -> None:
        """Let what a round leaves to the next take the variable of what it found there, if the round has no
        more use for that when it is computed.
        """
        for item in statement.carried:
            result = self.variable(item.following)
            if isinstance(result, Variable) and self.can_be_set_early(item.variable, result, body):
                self.shared[result] = item.variable
                self.uses[item.variable] += self.uses[result]

    def share_initial(self, statement: Loop, place: Place, loop: Place) -> None:
        """Let what a loop carries take the variable of what it begins with, if nothing else needs that."""
        for item in statement.carried:
            source = self.variable(item.initial)
            if (
                self.can_share(item.variable, source, place, loop)
                and self.uses[source].count(place) == 1
                and source not in self.carried
            ):
                self.shared[item.variable] = source
                self.uses[source] += self.uses[item.variable]

    def can_be_set_early(self, carried: Variable, result: Variable, body: Place) -> bool:
        """Whether a round may overwrite a carried variable where the result is computed."""
        if result in self.nested or result in self.carried:
            return False
        place = self.defined.get(result, ())
        bits = self.target.type_bits
        return (
            self.loops.get(result) == body
            and len(place) == len(body) + 1
            and bits(carried.width) == bits(result.width)
            and not any(use[: len(body)] == body and _is_after(use, place) for use in self.uses[carried])
        )

    def share_joins(self, statement: If, place: Place, loop: Place) -> None:
        """Let each thing that comes out of an `if` take the variable of what went in, or else be taken."""
        taken: set[Operand] = set()
        for join in statement.joins:
            sides = [self.variable(side) for side in (join.if_false, join.if_true) if side is not None]
            for source in sides:
                if source not in taken and self.can_share(join.target, source, place, loop):
                    self.shared[join.target] = source
                    self.uses[source] += self.uses[join.target]
                    taken.add(source)
                    break
        for join in statement.joins:
            if join.target not in self.shared:
                self.share_inner(join.target, join.if_true, (*place, 0))
                self.share_inner(join.target, join.if_false, (*place, 1))

    def share_inner(self, target: Variable, source: Operand | None, side: Place) -> None:
        """Let what comes out of an `if` inside a side, for nothing else but to come out of this one, take the
        variable of what comes out here.
        """
        inner = None if source is None else origin(source, self.same)
        bits = self.target.type_bits
        if (
            isinstance(inner, Variable)
            and inner in self.joined
            and inner not in self.shared
            and bits(inner.width) == bits(target.width)
            and self.defined[inner][: len(side)] == side
            and self.uses[inner] == [(*side, END)]
        ):
            self.shared[inner] = target

    def can_share(self, target: Variable, source: Operand, place: Place, loop: Place) -> bool:
        """Whether a variable from before an `if` is free after it."""
        if source in self.nested or source in self.program.parameters:
            return False
        if not isinstance(source, Variable):
            return False
        bits = self.target.type_bits
        uses = self.uses[source]
        if source in self.carried:  # it is set again at the end of each round, before what follows the loop
            uses = [use for use in uses if use[: len(loop)] == loop]
        return (
            self.loops.get(source) == loop
            and not _is_inside(self.defined[source], place)
            and bits(target.width) == bits(source.width)
            and not any(_is_after(use, place) for use in uses)
        )


def _is_inside(place: Place, statement: Place) -> bool:
    """Whether a place is in one of the sides of a statement."""
    return len(place) > len(statement) and place[: len(statement)] == statement


def _is_after(place: Place, statement: Place) -> bool:
    """Whether a place may be reached after a statement, which it is not in."""
    for level, (mine, other) in enumerate(zip(place, statement, strict=False)):
        if mine != other:
            return mine > other and level % 2 == 0
    return False
