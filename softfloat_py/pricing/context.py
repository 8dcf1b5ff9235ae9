"""What stands around the steps of a program on a CPU, as far as the program itself tells.

- *Registers.* Compilers hold a value in an integer type: one of 8, 16 or 32 bits, or several of 32. The
  values needed at a step may be more words than there are registers. Then that share of every operand and
  result is parked in registers which instructions do not reach, or lies in memory (the same share for all
  values: common practice, no source).
- *Loops.* What a loop does not touch is put away before it.
- *Copies.* Where a step's result takes the place of its first operand, and that is needed later, it is copied
  before; unless the step may as well overwrite the second.
- *Conditions.* A comparison that only an `if` or a choice looks at leaves its outcome to the branch; any
  other is kept as a number.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from typing import NamedTuple

from softfloat_py.integer_form.grammar import (
    Block,
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
from softfloat_py.integer_form.liveness import Liveness, Values, liveness_of
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.native_steps import Shape, expansion_of, is_native, run_of, shape_of

TYPES = (8, 16, 32)  # bits of the integer types that values are held in
COMMUTATIVE = ("add", "and", "or", "xor", "multiply")


class Registers(NamedTuple):
    """Words that instructions work on, and further ones that a move brings there."""

    working: int
    parking: int

    def shares_beyond(self, held: int) -> tuple[float, float]:
        """The shares of so many words that are parked, and that lie in memory."""
        beyond = max(held - self.working, 0)
        parked = min(beyond, self.parking)
        return (parked / held, (beyond - parked) / held) if beyond else (0.0, 0.0)


class Beside(NamedTuple):
    """Words copied, words parked elsewhere and brought back, and words brought from memory or put there,
    beside a step, on average.
    """

    copied: float
    parked: float
    spilled: float


class Context:
    """The surroundings of a program's statements on a CPU."""

    def __init__(
        self, program: Program, machine: Machine, registers: Registers, overwrites: tuple[str, ...]
    ) -> None:
        self.machine = machine
        self.registers = registers
        self.overwrites = overwrites
        self.liveness = liveness_of(program)
        self.conditions = _conditions(program)
        self.loops = _Loops(program, self.liveness)
        peaks = (self._peak(step) for step in program.body.all_steps())
        self.words = max([self._words(frozenset(program.parameters)), *peaks])

    def beside(self, step: Step, feature: int | None) -> Beside:
        """What stands beside a step that meets a feature."""
        shape = shape_of(step)
        if is_native(shape, self.machine):
            parked, spilled = self.registers.shares_beyond(self.held(step))
            touched = _words_touched(step, self.machine.word)
            return Beside(self._copied(step), parked * touched, spilled * touched)
        beyond = words_beyond_registers(
            shape, feature, self.machine, self.registers, self._besides(step), self._kept(step)
        )
        return Beside(self._copied(step), *beyond)

    def held(self, step: Step) -> int:
        """Words needed while a step is done: its operands, what comes after it needs, and the counters of the
        loops around it.
        """
        return self._held(step, self.liveness.after[id(step)] | self.liveness.kept(step.operands))

    def _peak(self, step: Step) -> int:
        """As `held`, and what the step's expansion needs at the most."""
        shape = shape_of(step)
        if step.kind.counted_as is None or is_native(shape, self.machine):
            return self.held(step)
        return max(self.held(step), self._besides(step) + most_inside(shape, self.machine, self._kept(step)))

    def _besides(self, step: Step) -> int:
        """Words held while a step is expanded, its result left out, and operands that nothing needs later."""
        return self._held(step, self.liveness.after[id(step)] - {step.target})

    def _kept(self, step: Step) -> tuple[bool, ...]:
        """Which operands are needed later."""
        return tuple(self._is_needed_after(step, operand) for operand in step.operands)

    def _held(self, step: Step, needed: Values) -> int:
        if id(step) in self.loops.worked_on:
            needed &= self.loops.worked_on[id(step)]
        return self._words(needed) + self.loops.counters.get(id(step), 0)

    def is_kept_as_number(self, step: Step) -> bool:
        """Whether the outcome of a comparison is used otherwise than to decide."""
        return step.kind.counted_as == "compare" and step.target not in self.conditions

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
        """Words that values take; what only decides is in the flags."""
        return sum(words_of_type(value.width, self.machine.word) for value in values - self.conditions)


def words_of_type(width: int, word: int) -> int:
    """Words of the integer type, or types, that compilers hold a value in."""
    for bits in TYPES:
        if width <= bits:
            return count_words(bits, word)
    return count_words(width, TYPES[-1]) * count_words(TYPES[-1], word)


@cache
def context_of(
    program: Program, machine: Machine, registers: Registers, overwrites: tuple[str, ...]
) -> Context:
    """The surroundings of a program's statements."""
    return Context(program, machine, registers, overwrites)


@cache
def words_beyond_registers(
    shape: Shape,
    feature: int | None,
    machine: Machine,
    registers: Registers,
    held_besides: int,
    kept: tuple[bool, ...],
) -> tuple[float, float]:
    """Words parked and words in memory that one run of a step's expansion reads or writes, while so many
    others are held; those operands that are `kept` are among them.
    """
    program = expansion_of(shape, machine)
    liveness = liveness_of(program)
    counted = _counted(program, kept)
    total = [0.0, 0.0]
    for event in run_of(shape, feature, machine).events:
        step = event.statement
        if isinstance(step, Step) and step.kind.counted_as is not None:
            inside = (liveness.after[id(step)] | liveness.kept(step.operands)) - counted
            touched = _words_touched(step, machine.word)
            for place, share in enumerate(registers.shares_beyond(held_besides + len(inside))):
                total[place] += share * touched
    return total[0], total[1]


@cache
def most_inside(shape: Shape, machine: Machine, kept: tuple[bool, ...]) -> int:
    """The most words that a step's expansion needs at once, beside operands that are kept anyway."""
    program = expansion_of(shape, machine)
    liveness = liveness_of(program)
    counted = _counted(program, kept)
    steps = program.body.all_steps()
    needed = (liveness.after[id(step)] | liveness.kept(step.operands) for step in steps)
    return max((len(words - counted) for words in needed), default=0)


def _counted(program: Program, kept: tuple[bool, ...]) -> Values:
    """The words of an expansion's operands that are held anyway."""
    return frozenset(p for p in program.parameters if kept["abc".index(p.name[0])])


def _words_touched(step: Step, word: int) -> int:
    """Words that a step reads and writes; the outcome of a comparison is in no register yet."""
    read = sum(count_words(o.width, word) for o in step.operands if isinstance(o, Variable))
    return read + (0 if step.kind.counted_as == "compare" else count_words(step.target.width, word))


class _Loops:
    """For each step in a loop, by identity: what the loop works on, and how many loops count rounds there.

    What a loop does not touch is put away before it, which costs nothing in its rounds.
    """

    def __init__(self, program: Program, liveness: Liveness) -> None:
        self.liveness = liveness
        self.worked_on: dict[int, Values] = {}
        self.counters: dict[int, int] = {}
        self._enter(program.body, None, 0)

    def _enter(self, block: Block, worked_on: Values | None, loops: int) -> None:
        for statement in block.statements:
            match statement:
                case Step() if worked_on is not None:
                    self.worked_on[id(statement)] = worked_on
                    self.counters[id(statement)] = loops
                case If(then=then, otherwise=otherwise):
                    self._enter(then, worked_on, loops)
                    self._enter(otherwise, worked_on, loops)
                case Loop(body=body):
                    self._enter(body, self._touched(statement), loops + 1)

    def _touched(self, loop: Loop) -> Values:
        statements = [loop, *loop.body.all_statements()]
        used = (operand for statement in statements for operand in _used(statement))
        made = (variable for statement in statements for variable in assigned_by(statement))
        return self.liveness.kept(used) | self.liveness.kept(made)


def _conditions(program: Program) -> frozenset[Variable]:
    """The one-bit values that nothing uses but an `if` or the condition of a choice."""
    deciding: Counter[Operand] = Counter()
    used: Counter[Operand] = Counter()
    for statement in program.body.all_statements():
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
