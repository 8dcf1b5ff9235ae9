"""What a step of a program costs on a CPU, with what compiled code does around it.

A step is priced by the native steps it becomes, its constants if no register has them already, and what is
moved for it (`context`). `decisions`, `instructions` and `masks` say what compilers do by other instructions.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import Block, Constant, If, Operand, Program, Statement, Step
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.abilities import ORDER_WITH_CONSTANT
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.cost_model import CostModel, SurroundingCode
from softfloat_py.pricing.loads import Loads
from softfloat_py.pricing.masks import Masks
from softfloat_py.pricing.native_prices import NativePrices
from softfloat_py.pricing.native_steps import NativeSteps, kinds_that_meet, native_steps, shape_of
from softfloat_py.pricing.operations_of_c import nested_in
from softfloat_py.pricing.registers import Registers

CALIBRATION = "as compiled code was measured"
BESIDE_STEPS = "moves and spills"

# Cycles by phase and by what takes them: a counted kind, or what stands around it.
Cycles = Mapping[tuple[str, str], float]


def registers_of(code: SurroundingCode, compiler: Compiler, word: int) -> Registers:
    """The registers of a CPU, as a compiler uses them."""
    parking = 0 if code.parking_registers is None else int(code.parking_registers.value)
    value = count_words(int(compiler.put_away_bits.value), word)
    return Registers(int(code.registers.value), parking, value)


class StepPrices:
    """The prices of the steps of a program on a CPU."""

    def __init__(self, model: CostModel, program: Program) -> None:
        self.model = model
        self.program = program
        self.code = model.surrounding_code
        self.machine = model.compiled_machine
        self.prices = NativePrices(model)
        registers = registers_of(self.code, model.compiler, self.machine.word)
        self.context = Context(program, self.machine, registers, self.code.overwrites, model.compiler)
        self.decisions, self.together = self.context.decisions, self.context.together
        self.nested = nested_in(program) if model.compiler.has_whole_types else frozenset()
        self.masks = Masks(self.context, self.machine, self.prices)
        self.loads = Loads(program, self.context, self.masks.without_constant)

    def depends_on_feature(self, step: Step) -> bool:
        """Whether the price of a step depends on the feature it meets."""
        met = kinds_that_meet(shape_of(step, self.program, self.machine.word), self.machine)
        return met is None or any(map(self.model.is_priced_by_n, met))

    def of(self, step: Step, feature: int | None) -> Cycles:
        """Cycles of a step that meets a feature."""
        kind = step.kind.counted_as
        assert kind is not None
        if step in self.decisions.joining:
            return {(step.phase, kind): self._joined(step)}
        if step in self.together.folded:
            return {(step.phase, kind): 0.0}
        ways = (self._on(machine, step, feature) for machine in self._machines(step))
        return min(ways, key=lambda cycles: sum(cycles.values()))

    def _on(self, machine: Machine, step: Step, feature: int | None) -> Cycles:
        """Cycles of a step on a machine."""
        kind = step.kind.counted_as
        assert kind is not None
        cycles: defaultdict[tuple[str, str], float] = defaultdict(float)
        native = native_steps(shape_of(step, self.program, machine.word), feature, machine)
        cycles[step.phase, kind] = (
            self._itself(step, native) + self.masks.of_wrap(step) - self._saved(step, native)
        )
        if native.loads and step not in self.loads.free:
            cycles[step.phase, "load_constant"] = self.prices.together(native.loads)
        cycles[step.phase, BESIDE_STEPS] = self._extra_moves(step, feature, machine)
        measured = sum(native.steps.values()) * self.code.moves_a_step.value
        if measured:
            cycles[step.phase, CALIBRATION] = measured * self.prices.of("move")
        return cycles

    def asked_for(self, statement: If) -> float:
        """Cycles of asking for what an `if` looks at, where no comparison made it."""
        return self._compared_with_zero((statement.condition,), statement)

    def native_steps_in(self, block: Block) -> int:
        """About how many native steps a block takes: one for each word of its steps."""
        counted = [step for step in block.all_steps() if step.kind.counted_as is not None]
        return sum(count_words(step.target.width, self.machine.word) for step in counted)

    def _machines(self, step: Step) -> tuple[Machine, ...]:
        """The machines that a step may be done on: where words are shifted through the carry, a shifter may
        still be quicker for the bits that there are.
        """
        habits = self.machine.habits
        if self.prices.whole_types or not (step.kind.is_shift and habits.carry_places):
            return (self.machine,)
        return self.machine, replace(self.machine, habits=replace(habits, carry_places=0))

    def _saved(self, step: Step, native: NativeSteps) -> float:
        """Cycles of moves that are not made, where C has no variable for a value."""
        within = self.prices.saved_moves * self.prices.together(native.saved)
        width = shape_of(step, self.program, self.machine.word).width
        if step in self.nested and width <= self.machine.word:
            return within + self.prices.saved(width)
        return within

    # -- kinds of steps ----------------------------------------------------------------------------

    def _itself(self, step: Step, native: NativeSteps) -> float:
        """Cycles of what a step itself does."""
        if step in self.masks.without_constant:
            return self.masks.without_constant[step]
        if step.kind.counted_as == "compare":
            return self._comparison(step, _ordered_with_constant(step, native.steps))
        return self.prices.together(native.steps)

    def _comparison(self, step: Step, native: Mapping[Entry, int]) -> float:
        """A comparison's cycles: those of keeping its outcome as a number as well; or, if it only decides, no
        more than comparing word by word, with a branch not taken after each but the last. Where branches
        compare by themselves, these are all; and nothing is, where the flags tell already.
        """
        cycles = self.prices.together(native)
        if self.together.asks_for_zero(step):
            cycles -= self.prices.of("compare")
        if self.context.is_kept_as_number(step):
            return cycles + self._as_number(step)
        return min(cycles - self._turned(native), self._word_by_word(step))

    def _turned(self, native: Mapping[Entry, int]) -> float:
        """Cycles that turning an outcome round would take, which turns the branch instead."""
        turned = {entry: n for entry, n in native.items() if entry.kind == "not" and entry.width == 1}
        return self.prices.together(turned)

    def _word_by_word(self, step: Step) -> float:
        """Cycles of comparing one word after the other, with a branch after each but the last."""
        bits = max(operand.width for operand in step.operands)
        words = count_words(bits, self.machine.word)
        compared = 0.0 if self.code.branches_compare else words * self.prices.of("compare", bits=bits)
        return compared + (words - 1) * self.prices.of("branch_not_taken")

    def _as_number(self, step: Step) -> float:
        """Cycles of making a number of an outcome, or of adding it on a condition if it is but added."""
        number = self.code.condition_as_value.cycles
        if self.machine.conditional_execution and self.together.is_added(step):
            return min(number, self.prices.of("select") - self.prices.of("move"))
        return number

    def _joined(self, step: Step) -> float:
        """Cycles of asking for one more of several truths, in a branch of its own."""
        if step.kind.counted_as == "not":
            return 0.0
        return self.prices.of("branch_not_taken") + self._compared_with_zero(step.operands, step)

    def _compared_with_zero(self, truths: tuple[Operand, ...], asking: Statement) -> float:
        """Cycles of comparing with zero those truths that no comparison made, and no flag tells."""
        if self.code.branches_compare:
            return 0.0
        uncompared = self.decisions.uncompared(truths)
        asked = [truth for truth in uncompared if not self.together.is_told(truth, asking)]
        return len(asked) * self.prices.of("compare", bits=1)

    def _extra_moves(self, step: Step, feature: int | None, machine: Machine) -> float:
        """Cycles of copies, and of what lies in memory for want of registers."""
        moved = self.context.extra_moves(step, feature, machine)
        in_registers = (moved.copied + moved.parked) * self.prices.of("move")
        return in_registers + moved.spilled * self.model.cycles_of_word_in_memory


def _ordered_with_constant(step: Step, native: Mapping[Entry, int]) -> Mapping[Entry, int]:
    """The native steps of a comparison, where its order is that of a value and a constant."""
    if step.kind.commutative or not any(isinstance(operand, Constant) for operand in step.operands):
        return native
    return {e._replace(kind=ORDER_WITH_CONSTANT) if e.kind == "compare" else e: n for e, n in native.items()}
