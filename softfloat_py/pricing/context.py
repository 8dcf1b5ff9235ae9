"""What stands around the steps of a program on a CPU, as far as the program itself tells.

- *Registers.* The values needed at a step may be more words than there are registers. Then, of every operand
  and result, that share lies in memory (the share for all values alike: common practice, no source).
- *Copies.* Where a step's result takes the place of its first operand, and that is needed later, it is copied
  before; unless the step may as well overwrite the second.
- *Conditions.* A comparison that only an `if` or a choice looks at leaves its outcome to the branch; any other
  is kept as a number.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from typing import NamedTuple

from softfloat_py.integer_form.grammar import If, Loop, Operand, Program, Return, Statement, Step, Variable
from softfloat_py.integer_form.liveness import Values, liveness_of
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.native_steps import Shape, expansion_of, is_native, run_of, shape_of

COMMUTATIVE = ("add", "and", "or", "xor", "multiply")


class Beside(NamedTuple):
    """Words copied, and words brought from memory or put there, beside a step, on average."""

    copied: float
    spilled: float


class Context:
    """The surroundings of a program's statements, on a CPU with so many registers."""

    def __init__(
        self, program: Program, machine: Machine, registers: int, overwrites: tuple[str, ...]
    ) -> None:
        self.machine = machine
        self.registers = registers
        self.overwrites = overwrites
        self.liveness = liveness_of(program)
        self.conditions = _conditions(program)
        self.words = max(self._words(values) for values in self._values_at(program))

    def beside(self, step: Step, feature: int | None) -> Beside:
        """What stands beside a step that meets a feature."""
        shape = shape_of(step)
        if is_native(shape, self.machine):
            spilled = self._share(self.held(step)) * _words_touched(step, self.machine.word)
        else:
            outside = self.liveness.after[id(step)] - {step.target} - self.liveness.kept(step.operands)
            held = self._words(outside)
            spilled = spilled_words(shape, feature, self.machine, self.registers, held)
        return Beside(self._copied(step), spilled)

    def held(self, step: Step) -> int:
        """Words needed while a step is done: its operands, and what comes after it needs."""
        return self._words(self.liveness.after[id(step)] | self.liveness.kept(step.operands))

    def is_kept_as_number(self, step: Step) -> bool:
        """Whether the outcome of a comparison is used otherwise than to decide."""
        return step.kind.counted_as == "compare" and step.target not in self.conditions

    def _share(self, held: int) -> float:
        return share_in_memory(held, self.registers)

    def _copied(self, step: Step) -> int:
        first, *others = step.operands
        if step.kind.counted_as not in self.overwrites or not self._is_needed_after(step, first):
            return 0
        if step.kind.counted_as in COMMUTATIVE and not any(self._is_needed_after(step, o) for o in others):
            return 0
        return count_words(first.width, self.machine.word)

    def _is_needed_after(self, step: Step, operand: Operand) -> bool:
        return bool(self.liveness.kept([operand]) & self.liveness.after[id(step)])

    def _words(self, values: Values) -> int:
        return sum(count_words(value.width, self.machine.word) for value in values)

    def _values_at(self, program: Program) -> list[Values]:
        steps = (s for block in program.body.walk() for s in block.statements if isinstance(s, Step))
        needed = [self.liveness.after[id(step)] | self.liveness.kept(step.operands) for step in steps]
        return [frozenset(program.parameters), *needed]


@cache
def context_of(
    program: Program, machine: Machine, registers: int, overwrites: tuple[str, ...]
) -> Context:
    """The surroundings of a program's statements."""
    return Context(program, machine, registers, overwrites)


def share_in_memory(held: int, registers: int) -> float:
    """The share of so many words that find no register."""
    return (held - registers) / held if held > registers else 0.0


@cache
def spilled_words(
    shape: Shape, feature: int | None, machine: Machine, registers: int, held_besides: int
) -> float:
    """Words brought from memory or put there in one run of a step's expansion, while so many others are held."""
    liveness = liveness_of(expansion_of(shape, machine))
    spilled = 0.0
    for event in run_of(shape, feature, machine).events:
        step = event.statement
        if isinstance(step, Step) and step.kind.counted_as is not None:
            held = held_besides + len(liveness.after[id(step)] | liveness.kept(step.operands))
            spilled += share_in_memory(held, registers) * _words_touched(step, machine.word)
    return spilled


def _words_touched(step: Step, word: int) -> int:
    """Words that a step reads and writes; the outcome of a comparison is in no register yet."""
    read = sum(count_words(o.width, word) for o in step.operands if isinstance(o, Variable))
    return read + (0 if step.kind.counted_as == "compare" else count_words(step.target.width, word))


def _conditions(program: Program) -> frozenset[Variable]:
    """The one-bit values that nothing uses but an `if` or the condition of a choice."""
    deciding: Counter[Operand] = Counter()
    used: Counter[Operand] = Counter()
    for block in program.body.walk():
        for statement in block.statements:
            used.update(_used(statement))
            if isinstance(statement, If):
                deciding[statement.condition] += 1
            elif isinstance(statement, Step) and statement.kind.name == "select":
                deciding[statement.operands[0]] += 1
    return frozenset(
        value for value, times in deciding.items() if isinstance(value, Variable) and used[value] == times
    )


def _used(statement: Statement) -> list[Operand]:
    match statement:
        case Step(operands=operands):
            return list(operands)
        case Return(results=results):
            return list(results)
        case If(condition=condition, joins=joins):
            sides = [side for join in joins for side in (join.if_true, join.if_false) if side is not None]
            return [condition, *sides]
        case Loop(carried=carried):
            return [operand for item in carried for operand in (item.initial, item.following)]
    return []
