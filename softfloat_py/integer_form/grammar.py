"""The integer form: what a routine is once formats, options and widths are fixed.

    program    parameters, results, one block
    block      statements, in stretches: all of a stretch runs or none does, so it is what is counted
    statement  step | if | loop | call | return | note
    step       target = kind(operands, immediate)
    call       targets = program(operands)
    operand    variable | constant

Every variable is assigned once. Where control flow meets again, *joins* say which value it brings along; a
loop's *carried* variables hold their latest value from one round to the next and after the last. Nodes are
immutable and check themselves when built; each knows its phase and its place in the source. Statements,
blocks and programs are compared by identity, which also makes them cheap keys.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from softfloat_py.keeping import Keeper, kept
from softfloat_py.routines.steps import Feature, Immediate, StepKind


class Position(NamedTuple):
    """A place in a routine's source; lines from 1, columns from 0."""

    file: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Variable:
    """A value computed once; `name` is the source's, `number` tells its versions apart. `point` is how many
    of its bits stand after the point, where the source says so.
    """

    name: str
    number: int
    width: int
    point: int | None = field(default=None, compare=False)

    def __hash__(self) -> int:
        """Its number, which no other variable of a program has: variables are keys everywhere."""
        return self.number

    def __str__(self) -> str:
        return f"{self.name}.{self.number}"


@dataclass(frozen=True, slots=True)
class Constant:
    """A number fixed before anything runs, in `width` bits."""

    value: int
    width: int

    def __post_init__(self) -> None:
        if self.width < 1 or not 0 <= self.value < 1 << self.width:
            raise ValueError(f"constant {self.value} does not fit {self.width} bits")

    def __str__(self) -> str:
        return f"{self.value:#x}" if self.value > 9 else str(self.value)


Operand = Variable | Constant


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """target = kind(operands); `immediate` as the kind's row in `routines.steps` has it."""

    target: Variable
    kind: StepKind
    operands: tuple[Operand, ...]
    immediate: Immediate
    phase: str
    position: Position

    def __post_init__(self) -> None:
        if len(self.operands) != self.kind.arity:
            raise ValueError(f"{self.kind.name} takes {self.kind.arity} operands, not {len(self.operands)}")
        expected = self.kind.width([operand.width for operand in self.operands], self.immediate)
        if self.target.width != expected:
            raise ValueError(f"{self.kind.name} delivers {expected} bits here, not {self.target.width}")


@dataclass(frozen=True, slots=True)
class Join:
    """target = if_true or if_false, by the side control came from; None where that side never arrives."""

    target: Variable
    if_true: Operand | None
    if_false: Operand | None

    def __post_init__(self) -> None:
        for value in (self.if_true, self.if_false):
            if value is not None and value.width != self.target.width:
                raise ValueError(
                    f"join {self.target} is {self.target.width} bits wide, {value} {value.width}"
                )


@dataclass(frozen=True, slots=True, eq=False)
class If:
    """One of two blocks, by a one-bit condition.

    Where one of them may return, what follows runs less often than what came before: a new stretch begins,
    and `after` is its number.
    """

    condition: Variable
    then: Block
    otherwise: Block
    joins: tuple[Join, ...]
    phase: str
    position: Position
    after: int | None = None

    def __post_init__(self) -> None:
        if self.condition.width != 1:
            raise ValueError(f"a condition must be one bit wide, not {self.condition.width}")


@dataclass(frozen=True, slots=True)
class Carried:
    """A loop's variable: `initial` before the first round, `following` after each."""

    variable: Variable
    initial: Operand
    following: Operand

    def __post_init__(self) -> None:
        for value in (self.initial, self.following):
            if value.width != self.variable.width:
                raise ValueError(f"{self.variable} is {self.variable.width} bits wide, {value} {value.width}")


@dataclass(frozen=True, slots=True, eq=False)
class Loop:
    """The body, `count` times: a fixed number, or the value that a variable has before the first round."""

    count: int | Variable
    body: Block
    carried: tuple[Carried, ...]
    phase: str
    position: Position


@dataclass(frozen=True, slots=True, eq=False)
class Call:
    """targets = callee(operands): another program is called, which has stretches of its own.

    An operand a parameter and a target a result, in order; where the callee keeps flags, the last target is
    the flags that it raised.
    """

    targets: tuple[Variable, ...]
    callee: Program
    operands: tuple[Operand, ...]
    phase: str
    position: Position

    def __post_init__(self) -> None:
        taken = tuple(parameter.width for parameter in self.callee.parameters)
        for what, given, expected in (
            ("takes", tuple(operand.width for operand in self.operands), taken),
            ("gives", tuple(target.width for target in self.targets), self.callee.result_widths),
        ):
            if given != expected:
                raise ValueError(f"{self.callee.name} {what} {expected} bits, not {given}")


@dataclass(frozen=True, slots=True, eq=False)
class Return:
    """The end of the program, with its results."""

    results: tuple[Operand, ...]
    phase: str
    position: Position


@dataclass(frozen=True, slots=True, eq=False)
class Note:
    """Not a step: the feature of a step that stands here no longer as such, since it was rewritten in words.

    `site` is its number in the program's bill. The feature is the value of the operands' only word, or the
    number of set bits of all words.
    """

    site: int
    feature: Feature
    operands: tuple[Operand, ...]


Statement = Step | If | Loop | Call | Return | Note


def assigned_by(statement: Statement) -> tuple[Variable, ...]:
    """The variables that a statement sets, those set inside its blocks left out."""
    match statement:
        case Step():
            return (statement.target,)
        case If():
            return tuple(join.target for join in statement.joins)
        case Loop():
            return tuple(item.variable for item in statement.carried)
        case Call():
            return statement.targets
        case Return() | Note():
            return ()


def used_by(statement: Statement) -> tuple[Operand, ...]:
    """What a statement uses, what is used inside its blocks left out."""
    match statement:
        case Step(operands=operands) | Call(operands=operands) | Note(operands=operands):
            return operands
        case Return(results=results):
            return results
        case If(condition=condition, joins=joins):
            sides = (side for join in joins for side in (join.if_true, join.if_false) if side is not None)
            return (condition, *sides)
        case Loop(count=count, carried=carried):
            values = (operand for item in carried for operand in (item.initial, item.following))
            return (*values, count) if isinstance(count, Variable) else tuple(values)


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Statements in order; `number` is that of its first stretch, 0 for the program's own block."""

    number: int
    statements: tuple[Statement, ...]

    @property
    def returns(self) -> bool:
        """Whether control never leaves this block at its end."""
        if not self.statements:
            return False
        last = self.statements[-1]
        if isinstance(last, If):
            return last.then.returns and last.otherwise.returns
        return isinstance(last, Return)

    @property
    def may_return(self) -> bool:
        """Whether a return stands in this block or inside one of its blocks."""
        return any(isinstance(statement, Return) for statement in self.all_statements())

    def inner(self) -> Iterator[Block]:
        """The blocks directly inside this one, in order."""
        for statement in self.statements:
            if isinstance(statement, If):
                yield statement.then
                yield statement.otherwise
            elif isinstance(statement, Loop):
                yield statement.body

    def walk(self) -> Iterator[Block]:
        """The block itself and all blocks inside it, in the order of the source."""
        yield self
        for block in self.inner():
            yield from block.walk()

    def all_statements(self) -> Iterator[Statement]:
        """The statements of the block and of all blocks inside it, block by block as `walk` has them."""
        for block in self.walk():
            yield from block.statements

    def all_steps(self) -> Iterator[Step]:
        """The steps among them."""
        return (statement for statement in self.all_statements() if isinstance(statement, Step))

    def all_loops(self) -> Iterator[Loop]:
        """The loops among them."""
        return (statement for statement in self.all_statements() if isinstance(statement, Loop))

    def all_calls(self) -> Iterator[Call]:
        """The calls among them."""
        return (statement for statement in self.all_statements() if isinstance(statement, Call))


@dataclass(frozen=True, slots=True, eq=False)
class Program(Keeper):
    """A specialised routine of so many stretches. `uniform` parameters are the same for all elements of an
    array; where it `keeps_flags`, the last result is the flags raised.
    """

    name: str
    parameters: tuple[Variable, ...]
    uniform: frozenset[Variable]
    result_widths: tuple[int, ...]
    body: Block
    stretches: int
    keeps_flags: bool = False

    @property
    def operands(self) -> tuple[Variable, ...]:
        """The parameters that differ from element to element."""
        return tuple(parameter for parameter in self.parameters if parameter not in self.uniform)

    @property
    @kept
    def callees(self) -> tuple[Program, ...]:
        """The programs that this one calls by itself, each once."""
        return tuple(dict.fromkeys(call.callee for call in self.body.all_calls()))

    @property
    def highest_number(self) -> int:
        """The highest number of a variable: those of further ones begin above it."""
        assigned = (variable for s in self.body.all_statements() for variable in assigned_by(s))
        return max(variable.number for variable in (*self.parameters, *assigned))
