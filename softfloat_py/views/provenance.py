"""Where a value of a run came from: the step that made it, found through joins and loops."""

from __future__ import annotations

from collections.abc import Iterator

from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.integer_form.grammar import If, Loop, Operand, Program, Step, Variable


class Provenance:
    """The steps behind each value of one recorded run."""

    def __init__(self, program: Program, record: Record) -> None:
        self._produced: dict[Variable, Event] = {}
        self._arrived: dict[Variable, Operand] = {}
        self._loops = dict(_loops(program))
        for event in record.events:
            match event.statement:
                case Step(target=target):
                    self._produced[target] = event
                case If(joins=joins):
                    for join in joins:
                        operand = join.if_true if event.result else join.if_false
                        if operand is not None:
                            self._arrived[join.target] = operand

    def behind(self, operand: Operand, narrowest: int) -> Iterator[Event]:
        """All steps of the value's ancestry whose results have at least `narrowest` bits, each once."""
        waiting, seen = [operand], set()
        while waiting:
            current = waiting.pop()
            while isinstance(current, Variable) and current in self._arrived:
                current = self._arrived[current]
            if not isinstance(current, Variable) or current in seen or current.width < narrowest:
                continue
            seen.add(current)
            if event := self._produced.get(current):
                yield event
                waiting += _contributing(event)
            elif loop := self._loops.get(current):
                waiting += _entering(loop)


def _loops(program: Program) -> Iterator[tuple[Variable, Loop]]:
    for block in program.body.walk():
        for statement in block.statements:
            if isinstance(statement, Loop):
                yield from ((item.variable, statement) for item in statement.carried)


def _contributing(event: Event) -> tuple[Operand, ...]:
    """The operands that a step's result continues: not a distance, nor what a selection left out.

    Of a product outside multiplication itself, that is what an approximation is applied to.
    """
    step = event.statement
    assert isinstance(step, Step)
    if step.kind.name == "select":
        return (step.operands[1 if event.values[0] else 2],)
    if step.kind.name.startswith("shift_") or (step.kind.name == "multiply" and step.phase != "multiply"):
        return step.operands[:1]
    return step.operands


def _entering(loop: Loop) -> Iterator[Operand]:
    """What a loop works on: what its variables begin with, and what its steps read from outside."""
    steps = [s for block in loop.body.walk() for s in block.statements if isinstance(s, Step)]
    inside = {step.target for step in steps} | {item.variable for item in loop.carried}
    inside |= {
        join.target
        for block in loop.body.walk()
        for s in block.statements
        if isinstance(s, If)
        for join in s.joins
    }
    yield from (item.initial for item in loop.carried)
    yield from (operand for step in steps for operand in step.operands if operand not in inside)
