"""Where a value of a run came from: the step that made it, found through joins and loops.

What a call gave is followed to what it was given; the steps inside it are in its own record.
"""

from __future__ import annotations

from collections.abc import Iterator

from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.integer_form.grammar import Call, If, Loop, Operand, Program, Step, Variable, assigned_by


class Provenance:
    """The steps behind each value of one recorded run."""

    def __init__(self, program: Program, record: Record) -> None:
        self._produced: dict[Variable, Event] = {}
        self._arrived: dict[Variable, Operand] = {}
        self._calls: dict[Variable, Call] = {}
        self._loops = dict(_loops(program))
        for event in record.events:
            match event.statement:
                case Step(target=target):
                    self._produced[target] = event
                case Call(targets=targets):
                    self._calls.update(dict.fromkeys(targets, event.statement))
                case If(joins=joins):
                    for join in joins:
                        operand = join.if_true if event.result else join.if_false
                        if operand is not None:
                            self._arrived[join.target] = operand

    def behind(self, operand: Operand, narrowest: int) -> Iterator[Event]:
        """All steps of the value's ancestry whose results have at least `narrowest` bits, each once.

        A step that gives a number with a point is the first of its line: places of its own begin there.
        """
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
                if current.point is None:
                    waiting += _contributing(event)
            elif call := self._calls.get(current):
                waiting += call.operands
            elif loop := self._loops.get(current):
                waiting += _entering(loop)


def _loops(program: Program) -> Iterator[tuple[Variable, Loop]]:
    return ((item.variable, loop) for loop in program.body.all_loops() for item in loop.carried)


def _contributing(event: Event) -> tuple[Operand, ...]:
    """The operands that a step's result continues: not a distance or an index, nor what a selection left out.

    Of a product outside multiplication itself, that is what an approximation is applied to.
    """
    step = event.statement
    assert isinstance(step, Step)
    if step.kind.name == "select":
        return (step.operands[1 if event.values[0] else 2],)
    if step.kind.name == "multiply" and step.phase != "multiply":
        return step.operands[:1]
    if step.kind.continues is None:
        return step.operands
    return tuple(step.operands[place] for place in step.kind.continues)


def _entering(loop: Loop) -> Iterator[Operand]:
    """What a loop works on: what its variables begin with, and what its steps read from outside."""
    inside = {variable for s in (loop, *loop.body.all_statements()) for variable in assigned_by(s)}
    yield from (item.initial for item in loop.carried)
    yield from (o for step in loop.body.all_steps() for o in step.operands if o not in inside)
