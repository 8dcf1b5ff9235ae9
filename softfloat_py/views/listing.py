"""Every recorded step as a line, by phase: its result in binary with its width, and what was done to what."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import groupby

from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.integer_form.grammar import If, Loop, Operand, Program, Return, Statement, Step
from softfloat_py.routines.phases import PHASES
from softfloat_py.routines.tables import Table
from softfloat_py.teaching.explanation import phase_of
from softfloat_py.views.layout import Section, binary, columns, counted

SMALL = range(2, 17)  # widths whose values are also given as decimal numbers


def step_sections(program: Program, record: Record) -> Iterator[Section]:
    """A section for each run of steps in one phase, in the order of execution."""
    lines = _Lines(program, record)
    for phase, events in groupby(record.events, phase_of):
        rows = [row for event in events for row in lines.rows(event)]
        yield Section(f"{phase}: {PHASES[phase]}", columns(rows, "<>>><"))


class _Lines:
    """Turns events into rows; follows joins, so that an operand has the name of the step that made it."""

    def __init__(self, program: Program, record: Record) -> None:
        self.record = record
        self.loops = _first_statements(program)
        self.rounds: Counter[Statement] = Counter()
        self.arrived: dict[Operand, Operand] = {}

    def rows(self, event: Event) -> Iterator[tuple[str, str, str, str, str]]:
        """One row, and one before it where a round of a loop begins."""
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
            case Return(results=results):
                yield "return", "", "", "", " ".join(self.name(result) for result in results)

    def step(self, step: Step, event: Event) -> tuple[str, str, str, str, str]:
        operands = " ".join(self.name(operand) for operand in step.operands)
        beside = f" by {step.immediate}" if step.kind.name in ("shift_left", "shift_right") else ""
        beside = f" in {step.immediate}" if isinstance(step.immediate, Table) else beside
        width = step.target.width
        return (
            str(step.target),
            counted(width, "bit"),
            binary(event.result, width),
            f"= {event.result}" if width in SMALL else "",
            f"{step.kind.name} {operands}{beside}",
        )

    def name(self, operand: Operand) -> str:
        return str(self.arrived.get(operand, operand))

    def follow(self, branch: If, held: bool) -> None:
        for join in branch.joins:
            operand = join.if_true if held else join.if_false
            if operand is not None:
                self.arrived[join.target] = self.arrived.get(operand, operand)


def _first_statements(program: Program) -> dict[Statement, Loop]:
    """The loops of a program by the statement each round begins with."""
    return {loop.body.statements[0]: loop for loop in program.body.all_loops()}
