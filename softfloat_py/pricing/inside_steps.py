"""What stands beside the native steps that one wide step becomes: copies, and words beyond the registers.

A carry is in a flag: it takes no word, and what gives only a carry is put nowhere. A product takes so many
steps that what it does not touch is put away before it, as before a loop; its digits are values of their own.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from softfloat_py.integer_form.grammar import Program, Step, Variable, used_by
from softfloat_py.integer_form.liveness import liveness_of
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.native_steps import Shape, expansion_of, run_of
from softfloat_py.pricing.registers import Beside, Registers, is_copied, words_written


class Surroundings(NamedTuple):
    """Where a wide step stands: the words held that are not its own, which of its operands are needed later,
    and how many words the loop around it holds at the most.
    """

    held: int
    kept: tuple[bool, ...]
    in_loop: int


@cache
def beside_native_steps(
    shape: Shape,
    feature: int | None,
    machine: Machine,
    registers: Registers,
    overwrites: tuple[str, ...],
    around: Surroundings,
) -> Beside:
    """What stands beside the native steps of one run of a step's expansion."""
    words = _words_of(expansion_of(shape, machine), machine.word)
    is_product = shape.kind == "multiply"
    others, least = (0, 0) if is_product else (around.held, around.in_loop)
    if is_product and machine.multiplier_bits:
        registers = registers._replace(value=1)
    copied = parked = spilled = 0.0
    for event in run_of(shape, feature, machine).events:
        step = event.statement
        if isinstance(step, Step) and step.kind.counted_as is not None:
            held = others + words.held(step, around.kept)
            shares = registers.shares_beyond(max(held, least))
            touched = words.touched(step)
            parked, spilled = parked + shares[0] * touched, spilled + shares[1] * touched
            copied += words.is_copied(step, overwrites)
    if is_product:
        away = registers.put_away(most_inside(shape, machine, around.kept), around.held)
        parked, spilled = parked + 2 * away[0], spilled + 2 * away[1]  # there and back
    return Beside(copied, parked, spilled)


@cache
def most_inside(shape: Shape, machine: Machine, kept: tuple[bool, ...]) -> int:
    """The most words that a step's expansion needs at once, beside operands that are kept anyway."""
    program = expansion_of(shape, machine)
    words = _words_of(program, machine.word)
    return max((words.held(step, kept) for step in program.body.all_steps()), default=0)


class _Words:
    """The words of an expansion: which are needed where, which are but carries, which go anywhere."""

    def __init__(self, program: Program, word: int) -> None:
        self.word = word
        self.parameters = program.parameters
        self.liveness = liveness_of(program)
        self.carries = _carries(program)
        self.used = self.liveness.kept(
            operand
            for statement in program.body.all_statements()
            if not (isinstance(statement, Step) and statement.target in self.carries)
            for operand in used_by(statement)
            if operand not in self.carries
        )

    def held(self, step: Step, kept: tuple[bool, ...]) -> int:
        """Words needed while a step is done, without those of operands that are kept anyway. Its result is
        beside its operands: the wide values that they are words of are all under way.
        """
        anyway = {word for word in self.parameters if kept["abc".index(word.name[0])]}
        return len((self.liveness.after[id(step)] | self.liveness.kept(step.operands)) - anyway)

    def touched(self, step: Step) -> int:
        """Words that a step reads and writes."""
        read = sum(isinstance(o, Variable) and o not in self.carries for o in step.operands)
        return read + (words_written(step, self.word) if step.target in self.used else 0)

    def is_copied(self, step: Step, overwrites: tuple[str, ...]) -> bool:
        """Whether a step's first operand is needed further down."""
        after = self.liveness.after[id(step)]
        return is_copied(step, overwrites, lambda operand: bool(self.liveness.kept([operand]) & after))


@cache
def _words_of(program: Program, word: int) -> _Words:
    return _Words(program, word)


def _carries(program: Program) -> frozenset[Variable]:
    """What lies above the word of a sum, a difference or a shift by one place."""
    made_by = {step.target: step.kind.name for step in program.body.all_steps()}
    carries: set[Variable] = set()
    for step in program.body.all_steps():
        source = step.operands[0]
        if not isinstance(source, Variable):
            continue
        is_above = step.kind.name == "high_word" and made_by.get(source, "multiply") != "multiply"
        if is_above or (step.kind.counted_as is None and source in carries):
            carries.add(step.target)
    return frozenset(carries)
