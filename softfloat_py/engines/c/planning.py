"""Which values of a program get variables in C, and which of them share one.

A value that only renames another is that other. One that is used once is written where it is used. Of the
rest, what comes out of an `if` takes the variable of what went in, if that is not needed any more: then the
side that changes nothing has nothing to say.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator

from softfloat_py.engines.c.target import Target
from softfloat_py.engines.text import operands_of
from softfloat_py.integer_form.grammar import Block, Call, If, Loop, Operand, Program, Return, Step, Variable
from softfloat_py.integer_form.walking import visits

LARGEST_NESTED = 6  # variables and constants in an expression: beyond, it is hard to read
END = 1 << 30  # the place after the last statement of a block

# Statement, side, statement, side...: the way from the outermost block to a statement.
Place = tuple[int, ...]


class Plan:
    """What becomes of each value of one program."""

    def __init__(self, program: Program, target: Target) -> None:
        self.program = program
        self.target = target
        self.same = _renamings(program, target)
        self.uses = self._count_uses()
        factors = set(self._factors())
        self.nested = self._nested(factors)
        self.shared: dict[Variable, Operand] = {}
        _Sharing(self).share(program.body, ())
        self.factors = {self.variable(factor) for factor in factors}

    def of(self, operand: Operand) -> Operand:
        """What an operand is another name of."""
        while isinstance(operand, Variable) and operand in self.same:
            operand = self.same[operand]
        return operand

    def variable(self, operand: Operand) -> Operand:
        """The operand whose variable in C holds this one."""
        operand = self.of(operand)
        while isinstance(operand, Variable) and operand in self.shared:
            operand = self.of(self.shared[operand])
        return operand

    def is_wide_product(self, step: Step) -> bool:
        """Whether a step is a product that only a type twice as wide as the widest holds."""
        return _is_wide_product(step, self.target)

    def _count_uses(self) -> Counter[Operand]:
        """How often each variable is written; once more in a loop that it is not computed in, where it is
        used again and again.
        """
        uses = Counter(self.of(v) for block in self.program.body.walk() for v in _used(block))
        uses.subtract(self.of(renamed) for renamed in self.same)  # what only gives a new name writes nothing
        for loop in self.program.body.all_loops():
            inside = {step.target for step in loop.body.all_steps()}
            used = {self.of(v) for b in loop.body.walk() for v in _used(b)}
            used |= {self.of(item.following) for item in loop.carried}
            uses.update(used - inside)
        return uses

    def _factors(self) -> Iterator[Operand]:
        """What must be seen to be of 16 bits, for the compiler to take the CPU's product of 16 bits."""
        if self.target.word == self.target.multiplier == 16:
            for step in _steps(self.program.body):
                if step.kind.name == "multiply" and self.target.type_bits(step.target.width) == 32:
                    yield from (self.of(operand) for operand in step.operands if operand.width <= 16)

    def _nested(self, factors: set[Operand]) -> dict[Operand, Step]:
        """The steps that are written where their one use is."""
        sizes: dict[Operand, int] = {}
        nested: dict[Operand, Step] = {}
        for step in _steps(self.program.body):
            if step.target in self.same or step.target in factors:
                continue
            size = sum(sizes.get(self.of(operand), 1) for operand in step.operands)
            if self.uses[step.target] == 1 and size <= LARGEST_NESTED and not self.is_wide_product(step):
                nested[step.target], sizes[step.target] = step, size
        return nested


class _Sharing:
    """Finds out which values can share a variable: the places where each is used must all come before."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.loops: dict[Operand, Place] = dict.fromkeys(plan.program.parameters, ())
        self.defined: dict[Operand, Place] = {}
        self.uses: dict[Operand, list[Place]] = defaultdict(list)
        self.carried: set[Operand] = set()
        self.joined: set[Operand] = set()  # what comes out of an `if`
        self.find_places(plan.program.body, (), ())

    # -- places ------------------------------------------------------------------------------------

    def find_places(self, block: Block, inside: Place, loop: Place) -> None:
        """Note where everything is computed, from the front, and where it is used, from the back."""
        for index, statement in enumerate(block.statements):
            self.define(statement, (*inside, index), loop)
        for index, statement in reversed(list(enumerate(block.statements))):
            place = (*inside, index)
            match statement:
                case Step() if statement.target in self.plan.nested:
                    for written in self.uses[statement.target]:
                        self.use(statement.operands, written, loop)
                case Step() if statement.target not in self.plan.same:
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

    def define(self, statement: object, place: Place, loop: Place) -> None:
        match statement:
            case Step(target=target):
                self.defined[target], self.loops[target] = place, loop
            case Call(targets=targets):
                for target in targets:
                    self.defined[target], self.loops[target] = place, loop
            case If(joins=joins):
                for join in joins:
                    self.defined[join.target], self.loops[join.target] = place, loop
                    self.joined.add(join.target)
            case Loop(carried=carried):
                for item in carried:
                    self.defined[item.variable], self.loops[item.variable] = (*place, 0), (*place, 0)

    def use(self, operands: Iterable[Operand | None], place: Place, loop: Place) -> None:
        """Note a use; of what comes from outside a loop, as one that lasts as long as the loop."""
        for operand in operands:
            used = None if operand is None else self.plan.of(operand)
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
            result = self.plan.variable(item.following)
            if isinstance(result, Variable) and self.can_be_set_early(item.variable, result, body):
                self.plan.shared[result] = item.variable
                self.uses[item.variable] += self.uses[result]

    def share_initial(self, statement: Loop, place: Place, loop: Place) -> None:
        """Let what a loop carries take the variable of what it begins with, if nothing else needs that."""
        for item in statement.carried:
            source = self.plan.variable(item.initial)
            if (
                self.can_share(item.variable, source, place, loop)
                and self.uses[source].count(place) == 1
                and source not in self.carried
            ):
                self.plan.shared[item.variable] = source
                self.uses[source] += self.uses[item.variable]

    def can_be_set_early(self, carried: Variable, result: Variable, body: Place) -> bool:
        """Whether a round may overwrite a carried variable where the result is computed."""
        if result in self.plan.nested or result in self.carried:
            return False
        place = self.defined.get(result, ())
        bits = self.plan.target.type_bits
        return (
            self.loops.get(result) == body
            and len(place) == len(body) + 1
            and bits(carried.width) == bits(result.width)
            and not any(use[: len(body)] == body and _is_after(use, place) for use in self.uses[carried])
        )

    def share_joins(self, statement: If, place: Place, loop: Place) -> None:
        taken: set[Operand] = set()
        for join in statement.joins:
            sides = [self.plan.variable(side) for side in (join.if_false, join.if_true) if side is not None]
            for source in sides:
                if source not in taken and self.can_share(join.target, source, place, loop):
                    self.plan.shared[join.target] = source
                    self.uses[source] += self.uses[join.target]
                    taken.add(source)
                    break
        for join in statement.joins:
            if join.target not in self.plan.shared:
                self.share_inner(join.target, join.if_true, (*place, 0))
                self.share_inner(join.target, join.if_false, (*place, 1))

    def share_inner(self, target: Variable, source: Operand | None, side: Place) -> None:
        """Let what comes out of an `if` inside a side, for nothing else but to come out of this one, take the
        variable of what comes out here.
        """
        inner = None if source is None else self.plan.of(source)
        bits = self.plan.target.type_bits
        if (
            isinstance(inner, Variable)
            and inner in self.joined
            and inner not in self.plan.shared
            and bits(inner.width) == bits(target.width)
            and self.defined[inner][: len(side)] == side
            and self.uses[inner] == [(*side, END)]
        ):
            self.plan.shared[inner] = target

    def can_share(self, target: Variable, source: Operand, place: Place, loop: Place) -> bool:
        """Whether a variable from before an `if` is free after it."""
        if source in self.plan.nested or source in self.plan.program.parameters:
            return False
        if not isinstance(source, Variable):
            return False
        bits = self.plan.target.type_bits
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


def _renamings(program: Program, target: Target) -> dict[Variable, Operand]:
    """The variables that are others under a new name: C has no widths to change but those of its types, moves
    as it likes, and lets go of what does not fit its widest type.
    """
    steps = list(_steps(program.body))
    products = {step.target for step in steps if _is_wide_product(step, target)}
    same: dict[Variable, Operand] = {}
    for step in steps:
        wrapped = step.kind.name == "low_word" and step.immediate == target.widest
        renamed = step.kind.renames and not _narrows(step, same, target)
        if renamed or (wrapped and step.operands[0] not in products):
            same[step.target] = step.operands[0]
    return same


def _narrows(step: Step, same: dict[Variable, Operand], target: Target) -> bool:
    """Whether a value goes on in a narrower type than it was computed in."""
    source = step.operands[0]
    while isinstance(source, Variable) and source in same:
        source = same[source]
    bits = target.type_bits
    return isinstance(source, Variable) and bits(step.target.width) < bits(source.width)


def _is_wide_product(step: Step, target: Target) -> bool:
    return step.kind.name == "multiply" and step.target.width > target.widest


def _steps(block: Block) -> Iterator[Step]:
    """Steps in the order they are written, those of a side before those that follow."""
    return (visit.statement for visit in visits(block) if isinstance(visit.statement, Step))


def _used(block: Block) -> Iterator[Variable]:
    return (operand for operand in operands_of(block) if isinstance(operand, Variable))
