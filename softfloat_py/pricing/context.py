"""What stands around the steps of a program on a CPU, as far as the program itself tells.

- *Registers.* Compilers hold a value in an integer type: one of 8, 16 or 32 bits, or several of 32. The
  values needed at a step may be more words than there are registers. Then that share of every operand and
  result is parked in registers which instructions do not reach, or lies in memory.
- *Loops.* What a loop does not touch is put away before it. A value has one place all through it, so what
  its rounds hold at the most counts for each of its steps.
- *Copies.* Where a step's result takes the place of its first operand, and that is needed later, it is copied
  before; unless the step may as well overwrite the second.
- *Conditions.* A comparison that only an `if` or a choice looks at leaves its outcome to the branch; any
  other is kept as a number.
"""

from __future__ import annotations

from collections import Counter
from functools import cache

from softfloat_py.integer_form.grammar import (
    If,
    Loop,
    Operand,
    Program,
    Step,
    Variable,
    assigned_by,
    used_by,
)
from softfloat_py.integer_form.liveness import Liveness, Values, liveness_of
from softfloat_py.integer_form.walking import visits
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.inside_steps import Surroundings, beside_native_steps, most_inside
from softfloat_py.pricing.native_steps import is_native, shape_of
from softfloat_py.pricing.registers import Beside, Registers, is_copied, words_of_type, words_written


class Context:
    """The surroundings of a program's statements on a CPU; `held` are the words needed while a step is done,
    by its identity, and `words` the most of them.
    """

    def __init__(
        self, program: Program, machine: Machine, registers: Registers, overwrites: tuple[str, ...]
    ) -> None:
        self.program = program
        self.machine = machine
        self.registers = registers
        self.overwrites = overwrites
        self.liveness = liveness_of(program)
        self.conditions = _conditions(program)
        self.loops = _Loops(program, self.liveness)
        self.held = {id(step): self._held_while(step) for step in program.body.all_steps()}
        self.in_loops = self._most_in_loops(program)
        peaks = (self._peak(step) for step in program.body.all_steps())
        self.words = max([self._words(frozenset(program.parameters)), *peaks])

    def beside(self, step: Step, feature: int | None) -> Beside:
        """What stands beside a step that meets a feature."""
        shape = shape_of(step, self.program)
        if is_native(shape, self.machine):
            shares = self.registers.shares_beyond(max(self.held[id(step)], self._in_loop(step)))
            touched = _words_touched(step, self.machine.word)
            return Beside(self._copied(step), shares[0] * touched, shares[1] * touched)
        around = Surroundings(self._besides(step), self._kept(step), self._in_loop(step))
        inside = beside_native_steps(shape, feature, self.machine, self.registers, self.overwrites, around)
        return inside._replace(copied=inside.copied + self._copied(step))

    def _held_while(self, step: Step) -> int:
        """Words of a step's operands and of what comes after it needs, or of its result in place of operands
        that nothing needs later; and the counters of the loops around it.
        """
        after = self.liveness.after[id(step)]
        before = after - {step.target} | self.liveness.kept(step.operands)
        return max(self._held(step, before), self._held(step, after))

    def _most_in_loops(self, program: Program) -> dict[int, int]:
        """The most words held at once in the rounds of each loop, by the loop's identity."""
        most: dict[int, int] = {}
        for step in program.body.all_steps():
            if step.kind.counted_as is not None and id(step) in self.loops.around:
                loop = self.loops.around[id(step)]
                most[loop] = max(most.get(loop, 0), self.held[id(step)])
        return most

    def _in_loop(self, step: Step) -> int:
        """The most words held at once in the loop around a step; 0 outside of loops."""
        return self.in_loops[self.loops.around[id(step)]] if id(step) in self.loops.around else 0

    def _peak(self, step: Step) -> int:
        """As `held`, and what the step's expansion needs at the most."""
        shape = shape_of(step, self.program)
        if step.kind.counted_as is None or is_native(shape, self.machine):
            return self.held[id(step)]
        return max(
            self.held[id(step)], self._besides(step) + most_inside(shape, self.machine, self._kept(step))
        )

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
        if not is_copied(step, self.overwrites, lambda operand: self._is_needed_after(step, operand)):
            return 0
        return count_words(step.operands[0].width, self.machine.word)

    def _is_needed_after(self, step: Step, operand: Operand) -> bool:
        return bool(self.liveness.kept([operand]) & self.liveness.after[id(step)])

    def _words(self, values: Values) -> int:
        """Words that values take; what only decides is in the flags."""
        return sum(words_of_type(value.width, self.machine.word) for value in values - self.conditions)


@cache
def context_of(
    program: Program, machine: Machine, registers: Registers, overwrites: tuple[str, ...]
) -> Context:
    """The surroundings of a program's statements."""
    return Context(program, machine, registers, overwrites)


def _words_touched(step: Step, word: int) -> int:
    """Words that a native step reads and writes."""
    return sum(isinstance(o, Variable) for o in step.operands) + words_written(step, word)


class _Loops:
    """For each step in a loop, by identity: what the loop works on, how many loops count rounds there, and
    the identity of the innermost.

    What a loop does not touch is put away before it, which costs nothing in its rounds.
    """

    def __init__(self, program: Program, liveness: Liveness) -> None:
        self.liveness = liveness
        self.worked_on: dict[int, Values] = {}
        self.counters: dict[int, int] = {}
        self.around: dict[int, int] = {}
        worked_on = {loop: self._touched(loop) for loop in program.body.all_loops()}
        for step, _, _, loops in visits(program.body):
            if isinstance(step, Step) and loops:
                self.worked_on[id(step)] = worked_on[loops[-1]]
                self.counters[id(step)] = len(loops)
                self.around[id(step)] = id(loops[-1])

    def _touched(self, loop: Loop) -> Values:
        statements = [loop, *loop.body.all_statements()]
        counts = {statement.count for statement in statements if isinstance(statement, Loop)}
        used = (operand for statement in statements for operand in used_by(statement))
        made = (variable for statement in statements for variable in assigned_by(statement))
        return self.liveness.kept(o for o in used if o not in counts) | self.liveness.kept(made)


def _conditions(program: Program) -> frozenset[Variable]:
    """The one-bit values that nothing uses but an `if` or the condition of a choice."""
    deciding: Counter[Operand] = Counter()
    used: Counter[Operand] = Counter()
    for statement in program.body.all_statements():
        used.update(used_by(statement))
        if isinstance(statement, If):
            deciding[statement.condition] += 1
        elif isinstance(statement, Step) and statement.kind.name == "select":
            deciding[statement.operands[0]] += 1
    return frozenset(
        value for value, times in deciding.items() if isinstance(value, Variable) and used[value] == times
    )
