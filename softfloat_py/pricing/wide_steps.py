"""What is moved besides the native steps that one wide step becomes.

A carry is in a flag: it takes no word, and what gives only a carry is put nowhere. A product takes so many
steps that what it does not touch is put away before it, as before a loop; its digits are values of their own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from softfloat_py.integer_form.grammar import Program, Step, Variable, used_by
from softfloat_py.integer_form.liveness import liveness_of
from softfloat_py.lowering.expansions import ExpandedStep, machine_of
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.native_steps import Shape, expansion_of, run_of
from softfloat_py.pricing.registers import ExtraMoves, Registers
from softfloat_py.pricing.rules import is_copied, shares_beyond, words_put_away, words_written


class StepSite(NamedTuple):
    """Where a wide step stands: the live words that are not its own, which of its operands are needed later,
    the most words that the loop around it needs, and the words that an earlier product has put away already.
    """

    outside_words: int
    needed_later: tuple[bool, ...]
    loop_words: int
    staying_words: int = 0


def extra_moves_inside(
    shape: Shape,
    feature: int | None,
    machine: Machine,
    registers: Registers,
    overwrites: tuple[str, ...],
    site: StepSite,
    compiler: Compiler,
) -> ExtraMoves:
    """What is moved besides the native steps of one run of a step's expansion."""
    run = _run_of(shape, feature, machine_of(shape.kind, machine), site.needed_later)
    copied = sum(run.copied.get(kind, 0) for kind in overwrites)
    if shape.kind != "multiply":
        return ExtraMoves(copied, *_moved(run, registers, site.outside_words, site.loop_words))
    parked, spilled = _moved(run, _registers_of_digits(registers, machine), 0, 0)
    needed = most_words_inside(shape, machine, site.needed_later)
    away = words_put_away(registers, needed, site.outside_words)
    moved = max(sum(away) - site.staying_words, 0) / max(sum(away), 1)
    times = moved * compiler.moves_around_a_product.value
    return ExtraMoves(copied, parked + times * away[0], spilled + times * away[1])


def _registers_of_digits(registers: Registers, machine: Machine) -> Registers:
    """The registers as the digits of a product find them, each of which is put away by itself."""
    return registers._replace(value=1) if machine.multiplier_bits else registers


def most_words_inside(shape: Shape, machine: Machine, needed_later: tuple[bool, ...]) -> int:
    """The most words that a step's expansion needs at once, besides operands that are needed later anyway."""
    return _most_words(shape, machine_of(shape.kind, machine), needed_later)


@lru_cache(maxsize=2048)
def _most_words(shape: Shape, machine: Machine, needed_later: tuple[bool, ...]) -> int:
    words = _words_of(expansion_of(shape, machine), machine.word)
    anyway = words.needed_anyway(needed_later)
    return max((words.live(step, anyway) for step in words.program.body.all_steps()), default=0)


class _Run(NamedTuple):
    """One run of an expansion: for each native step the words of the wide step that are live, and those that
    it reads and writes; the most of the former; and how many steps of a kind have a first operand to copy.
    """

    steps: tuple[tuple[int, int], ...]
    most_live: int
    copied: Mapping[str | None, int]


@lru_cache(maxsize=2048)
def _run_of(shape: Shape, feature: int | None, machine: Machine, needed_later: tuple[bool, ...]) -> _Run:
    expanded = expansion_of(shape, machine)
    words = _words_of(expanded, machine.word)
    anyway = words.needed_anyway(needed_later)
    done = [event.statement for event in run_of(expanded, shape, feature, machine.word).events]
    steps = [step for step in done if isinstance(step, Step) and step.kind.counted_as is not None]
    times = Counter(steps)
    of_step = {step: (words.live(step, anyway), words.touched(step)) for step in times}
    copied: Counter[str | None] = Counter()
    for step, n in times.items():
        copied[step.kind.counted_as] += n if words.is_copied(step) else 0
    most = max((live for live, _ in of_step.values()), default=0)
    return _Run(tuple(of_step[step] for step in steps), most, copied)


def _moved(run: _Run, registers: Registers, outside: int, loop: int) -> tuple[float, float]:
    """Words parked and spilled in a run."""
    parked = spilled = 0.0
    if max(outside + run.most_live, loop) > registers.working:
        for live, touched in run.steps:
            shares = shares_beyond(registers, max(outside + live, loop))
            parked, spilled = parked + shares.parked * touched, spilled + shares.spilled * touched
    return parked, spilled


class _Words:
    """The words of an expansion: which are needed where, which are but carries, which go anywhere."""

    def __init__(self, expanded: ExpandedStep, word: int) -> None:
        self.program = program = expanded.program
        self.word = word
        self.words = expanded.words
        self.liveness = liveness_of(program)
        self.carries = _carries(program)
        self.used = self.liveness.values_of(
            operand
            for statement in program.body.all_statements()
            if not (isinstance(statement, Step) and statement.target in self.carries)
            for operand in used_by(statement)
            if operand not in self.carries
        )

    def needed_anyway(self, needed_later: tuple[bool, ...]) -> frozenset[Variable]:
        """The words of operands that are needed later, and so are not the step's alone."""
        return frozenset(
            word for words, needed in zip(self.words, needed_later, strict=True) if needed for word in words
        )

    def live(self, step: Step, anyway: frozenset[Variable]) -> int:
        """Words needed while a step is done, without those that are needed anyway. Its result is beside its
        operands: the wide values that they are words of are all under way.
        """
        return len((self.liveness.after[id(step)] | self.liveness.values_of(step.operands)) - anyway)

    def touched(self, step: Step) -> int:
        """Words that a step reads and writes."""
        read = sum(isinstance(o, Variable) and o not in self.carries for o in step.operands)
        return read + (words_written(step, self.word) if step.target in self.used else 0)

    def is_copied(self, step: Step) -> bool:
        """Whether a native step's first operand is needed further down, should it be overwritten."""
        needed = [self.liveness.is_needed_after(step, operand) for operand in step.operands]
        return is_copied(step.kind, needed)


@lru_cache(maxsize=2048)
def _words_of(expanded: ExpandedStep, word: int) -> _Words:
    return _Words(expanded, word)


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
