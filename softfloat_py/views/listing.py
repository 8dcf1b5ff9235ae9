"""Every recorded step as a line, by phase: its result in binary with its width, and what was done to what.

Results of more than 64 bits are in hexadecimal digits.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import groupby

from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.integer_form.grammar import (
    Call,
    If,
    Loop,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
)
from softfloat_py.routines.phases import PHASES
from softfloat_py.routines.tables import Table
from softfloat_py.teaching.explanation import phase_of
from softfloat_py.views.layout import Section, columns, counted, digits

Row = tuple[str, str, str, str, str]
SMALL = range(2, 17)  # widths whose values are also given as decimal numbers


def step_sections(program: Program, record: Record, inside: str = "") -> Iterator[Section]:
    """A section for each run of steps in one phase, in the order of execution; after a call those of what was
    called, under its name.
    """
    lines = _Lines(program, record)
    for phase, events in groupby(record.events, phase_of):
        rows: list[Row] = []
        title = f"{inside}{phase}: {PHASES[phase]}"
        for event in events:
            rows += lines.rows(event)
            if isinstance(event.statement, Call) and event.inside is not None:
                yield Section(title, columns(rows, "<>>><"))
                callee = event.statement.callee
                yield from step_sections(callee, event.inside, f"{inside}{callee.name}, ")
                rows = []
        if rows:
            yield Section(title, columns(rows, "<>>><"))


class _Lines:
    """Turns events into rows; follows joins, so that an operand has the name of the step that made it."""

    def __init__(self, program: Program, record: Record) -> None:
        self.record = record
        self.loops = _first_statements(program)
        self.rounds: Counter[Statement] = Counter()
        self.arrived: dict[Operand, Operand] = {}

    def rows(self, event: Event) -> Iterator[Row]:
        """One row, or one a result of a call, and one before it where a round of a loop begins."""
        if loop := self.loops.get(event.statement):
            self.rounds[event.statement] += 1
            rounds = loop.count if isinstance(loop.count, int) else self.record.values[loop.count]
            yield f"round {self.rounds[event.statement]} of {rounds}", "", "", "", ""
        match event.statement:
            case Step() as step:
                yield self.step(step, event)
            case If() as branch:
                yield (
                    f"if {self.name(branch.condition)}",
                    "",
                    "holds" if event.result else "does not hold",
                    "",
                    "",
                )
                self.follow(branch, bool(event.result))
            case Call() as call:
                yield from self.call(call, event)
            case Return(results=results):
                yield "return", "", "", "", " ".join(self.name(result) for result in results)

    def step(self, step: Step, event: Event) -> Row:
        operands = " ".join(self.name(operand) for operand in step.operands)
        beside = f" by {step.immediate}" if step.kind.name in ("shift_left", "shift_right") else ""
        beside = f" in {step.immediate}" if isinstance(step.immediate, Table) else beside
        return _made(step.target, event.result, f"{step.kind.name} {operands}{beside}")

    def call(self, call: Call, event: Event) -> Iterator[Row]:
        assert event.inside is not None
        operands = " ".join(self.name(operand) for operand in call.operands)
        for target, result in zip(call.targets, event.inside.results, strict=True):
            yield _made(target, result, f"{call.callee.name} {operands}")

    def name(self, operand: Operand) -> str:
        return str(self.arrived.get(operand, operand))

    def follow(self, branch: If, held: bool) -> None:
        for join in branch.joins:
            operand = join.if_true if held else join.if_false
            if operand is not None:
                self.arrived[join.target] = self.arrived.get(operand, operand)


def _made(target: Variable, result: int, how: str) -> Row:
    """The row of a value."""
    width = target.width
    decimal = f"= {result}" if width in SMALL else ""
    return str(target), counted(width, "bit"), digits(result, width), decimal, how


def _first_statements(program: Program) -> dict[Statement, Loop]:
    """The loops of a program by the statement each round begins with."""
    return {loop.body.statements[0]: loop for loop in program.body.all_loops()}
