"""The stepwise engine: a walk over the form that records every step with its values.

It counts each step where it happens, sharing nothing with the bills and block counts that the fast engines
use, so it is the truth about counts. Every explanation is made from its records.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from softfloat_py.engines.registry import Delivered, Row, Task
from softfloat_py.errors import WidthError
from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    Constant,
    If,
    Join,
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
from softfloat_py.routines.phases import CALL
from softfloat_py.routines.steps import constant_width


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened: a step with its values, an `if` with its outcome, a call with the first of its
    results, or the return. `inside` is the run of what was called, `entry` what a step was counted as.
    """

    statement: Step | If | Call | Return
    values: tuple[int, ...]
    result: int
    inside: Record | None = None
    entry: Entry | None = None


@dataclass(slots=True)
class Record:
    """All of one run: results, events in order, counts, constants loaded, the last value of each variable.

    The counts include those of what was called; its events and values are in the record inside its call.
    """

    results: tuple[int, ...] = ()
    events: list[Event] = field(default_factory=list)
    counts: Counter[Entry] = field(default_factory=Counter)
    constants: Counter[int] = field(default_factory=Counter)
    values: dict[Variable, int] = field(default_factory=dict)

    def runs(self, program: Program) -> Iterator[tuple[Program, Record]]:
        """The run itself, of a program, and those of what was called in it."""
        yield program, self
        for event in self.events:
            if event.inside is not None and isinstance(event.statement, Call):
                yield from event.inside.runs(event.statement.callee)


def run(program: Program, arguments: Sequence[int]) -> Record:
    """Run a program on numbers, one an element of `program.parameters`.

    Raises WidthError where a step's side condition fails.
    """
    record = Record()
    record.values.update(zip(program.parameters, arguments, strict=True))
    record.counts[Entry(CALL, "call", 0)] += 1
    record.counts[Entry(CALL, "return", 0)] += 1
    _Walk(record, program).block(program.body)
    return record


def deliver(task: Task, rows: Sequence[Row]) -> Delivered:
    """Rows of results, and the steps of all of them."""
    records = [run(task.program, row) for row in rows]
    counts: Counter[Entry] = Counter()
    for record in records:
        counts.update(record.counts)
    return Delivered([record.results for record in records], counts)


class _Fixed(NamedTuple):
    """What is the same whenever a step is done: widths of operands, constants among them, and what it is
    counted as, None if it is not, its feature left out.
    """

    widths: tuple[int, ...]
    constants: tuple[int, ...]
    entry: Entry | None


@kept
def _fixed(program: Program) -> dict[Step, _Fixed]:
    return {step: _fixed_of(step) for step in program.body.all_steps()}


def _fixed_of(step: Step) -> _Fixed:
    kind, entry = step.kind, None
    widths = tuple(operand.width for operand in step.operands)
    if kind.counted_as is not None:
        entry = Entry(step.phase, kind.counted_as, kind.counted_width(widths, step.target.width))
    return _Fixed(widths, tuple(o.value for o in step.operands if isinstance(o, Constant)), entry)


class _Walk:
    def __init__(self, record: Record, program: Program) -> None:
        self.record = record
        self.fixed = _fixed(program)

    def value(self, operand: Operand) -> int:
        return operand.value if isinstance(operand, Constant) else self.record.values[operand]

    def count(self, phase: str, kind: str, width: int = 0, feature: int | None = None) -> None:
        self.record.counts[Entry(phase, kind, width, feature)] += 1

    def count_load(self, phase: str, operand: Operand | None) -> None:
        if isinstance(operand, Constant):
            self.count_constant(phase, operand.value)

    def count_constant(self, phase: str, value: int) -> None:
        self.count(phase, "load_constant", constant_width(value))
        self.record.constants[value] += 1

    def block(self, block: Block) -> bool:
        """Run a block; True if the program has returned."""
        return any(map(self.statement, block.statements))

    def statement(self, statement: Statement) -> bool:
        match statement:
            case Step():
                self.step(statement)
                return False
            case If():
                return self.branch(statement)
            case Loop():
                self.loop(statement)
                return False
            case Call():
                self.call(statement)
                return False
            case Return():
                for result in statement.results:
                    self.count_load(statement.phase, result)
                self.record.results = tuple(self.value(result) for result in statement.results)
                self.record.events.append(Event(statement, self.record.results, self.record.results[0]))
                return True
            case Note():
                return False  # the step it speaks of is counted where it stands as itself

    def step(self, step: Step) -> None:
        kind, record = step.kind, self.record
        widths, constants, entry = self.fixed[step]
        known = record.values
        values = tuple([o.value if isinstance(o, Constant) else known[o] for o in step.operands])
        if not kind.condition(values, widths, step.immediate):
            raise WidthError(
                f"{kind.condition_text}: {kind.name} of {values}, {step.immediate}, at {step.position}"
            )
        result = kind.value(values, widths, step.immediate)
        for constant in constants:
            self.count_constant(step.phase, constant)
        if entry is not None:
            if (feature := kind.feature_of(values, step.immediate, result)) is not None:
                entry = Entry(entry.phase, entry.kind, entry.width, feature)
            record.counts[entry] += 1
        known[step.target] = result
        record.events.append(Event(step, values, result, entry=entry))

    def call(self, call: Call) -> None:
        values = tuple(self.value(operand) for operand in call.operands)
        for operand in call.operands:
            self.count_load(call.phase, operand)
        inside = run(call.callee, values)
        self.record.counts.update(inside.counts)
        self.record.constants.update(inside.constants)
        self.record.values.update(zip(call.targets, inside.results, strict=True))
        self.record.events.append(Event(call, values, inside.results[0], inside))

    def branch(self, statement: If) -> bool:
        held = self.value(statement.condition)
        self.record.events.append(Event(statement, (held,), held))
        jumps = held == statement.then.returns  # a first side that returns lies out of line
        self.count(statement.phase, "branch_taken" if jumps else "branch_not_taken")
        if self.block(statement.then if held else statement.otherwise):
            return True
        if held and statement.otherwise.statements:
            self.count(statement.phase, "branch_taken")
        self.join(statement.joins, bool(held), statement.phase)
        return False

    def join(self, joins: Sequence[Join], held: bool, phase: str) -> None:
        arriving = [join.if_true if held else join.if_false for join in joins]
        for join, operand in zip(joins, arriving, strict=True):
            assert operand is not None, "control arrived from a side that never does"
            self.count_load(phase, operand)
            self.record.values[join.target] = self.value(operand)

    def loop(self, loop: Loop) -> None:
        for item in loop.carried:
            self.count_load(loop.phase, item.initial)
            self.record.values[item.variable] = self.value(item.initial)
        fixed = isinstance(loop.count, int)
        rounds = loop.count if isinstance(loop.count, int) else self.value(loop.count)
        width = constant_width(rounds) if isinstance(loop.count, int) else loop.count.width
        if fixed:
            self.count_constant(loop.phase, rounds)
        for round_number in range(rounds):
            if not fixed:
                self.count(loop.phase, "branch_not_taken")
            self.block(loop.body)
            following = [self.value(item.following) for item in loop.carried]
            for item, value in zip(loop.carried, following, strict=True):
                self.record.values[item.variable] = value
            self.count(loop.phase, "subtract", width)
            last = fixed and round_number == rounds - 1
            self.count(loop.phase, "branch_not_taken" if last else "branch_taken")
        if not fixed:
            self.count(loop.phase, "branch_taken")
