"""What a step of a program becomes on a machine.

A step is expanded for the machine, with the constants among its operands as they are, and run once on
operands that have the feature in question; what was counted in that run is what the CPU does. Nothing here
is counted by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

from softfloat_py.engines import stepwise
from softfloat_py.integer_form.counting import Entry, bill_of
from softfloat_py.integer_form.grammar import Constant, If, Program, Step, Variable
from softfloat_py.integer_form.known_zeros import known_zeros
from softfloat_py.integer_form.needed_bits import needed_bits
from softfloat_py.keeping import kept
from softfloat_py.lowering.expansions import ExpandedStep, Value, expanded_step
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import word_widths
from softfloat_py.pricing.instructions import together_in
from softfloat_py.pricing.operations_of_c import saved_within, shifted_apart
from softfloat_py.routines.steps import STEPS, Feature, Immediate, constant_width
from softfloat_py.routines.tables import Table


class Shape(NamedTuple):
    """All that the expansion of a step depends on, apart from the machine."""

    kind: str
    operands: tuple[Constant | Value, ...]
    immediate: Immediate
    width: int

    @property
    def widths(self) -> tuple[int, ...]:
        """The operands' widths."""
        return tuple(operand.width for operand in self.operands)


def shape_of(step: Step, program: Program, word: int) -> Shape:
    """The shape of a step of a program, on a machine with words of so many bits."""
    return _shapes_of(program, word)[step]


@kept
def _shapes_of(program: Program, word: int) -> Mapping[Step, Shape]:
    zeros, needed = known_zeros(program), needed_bits(program)
    return {step: _shape_of(step, zeros, needed, word) for step in program.body.all_steps()}


def _shape_of(step: Step, zeros: Mapping[Variable, int], needed: Mapping[Variable, int], word: int) -> Shape:
    given = tuple(
        operand if isinstance(operand, Constant) else Value(operand.width, zeros.get(operand, 0))
        for operand in step.operands
    )
    shape = Shape(step.kind.name, given, step.immediate, step.target.width)
    if step.kind.name == "shift_right" and step.target in needed:
        bits = needed[step.target]
        return _of_lowest_word(shape, bits) if step.immediate + bits <= word else shape
    return shape


def _of_lowest_word(shift: Shape, needed: int) -> Shape:
    """The shape of a shift to the right that only has to bring down bits of the lowest word: they are picked
    out of that word, as compilers do, and nothing else is shifted. Of bits that lie higher, all is priced:
    leaving out what nobody looks at led away from compiled code where it was measured, on an ATmega328P.
    """
    (given,) = shift.operands
    assert isinstance(given, Value), "what is shifted is not known, or no step would be left of it"
    width = shift.immediate + needed
    return shift._replace(operands=(Value(width, min(given.zeros, width)),), width=needed)


class NativeSteps(NamedTuple):
    """What a CPU does for a step, and what it does to have the constants among its operands in registers; and
    the moves that are not made, since values stay within an expression of C.
    """

    steps: Mapping[Entry, int]
    loads: Mapping[Entry, int]
    saved: Mapping[Entry, int] = MappingProxyType({})


@lru_cache(maxsize=4096)
def native_steps(shape: Shape, feature: int | None, machine: Machine) -> NativeSteps:
    """The native steps of a machine that a step becomes; `feature` is that of the step's kind, None for a
    kind that has none.
    """
    if is_native(shape, machine):
        kind = STEPS[shape.kind].counted_as
        constants = Counter((kind, given.value) for given in shape.operands if isinstance(given, Constant))
        own = {_own_step(shape, feature, machine): 1}
        return _in_c(own, _loads(constants, machine), Counter(), machine)
    expanded = expansion_of(shape, machine)
    record = run_of(expanded, shape, feature, machine.word)
    around = ("call", "return", "load_constant")
    steps = Counter({entry: times for entry, times in record.counts.items() if entry.kind not in around})
    if machine.folds:
        folded = together_in(expanded.program, machine, None).folded
        steps.subtract(e.entry for e in record.events if e.entry is not None and e.statement in folded)
    within = saved_within(record, expanded.program) if machine.habits.shifts_apart else Counter[Entry]()
    return _in_c(steps, _loads(_constants_of(record, machine), machine), within, machine)


def _in_c(
    steps: Mapping[Entry, int], loads: Mapping[Entry, int], within: Counter[Entry], machine: Machine
) -> NativeSteps:
    """The steps as C has them where they are its operations, and else as they are; `within` are moves that
    its expressions do without.
    """
    if not machine.habits.shifts_apart:
        return NativeSteps(steps, loads)
    apart, between = shifted_apart(steps, machine)
    return NativeSteps(apart, loads, within + between)


def _constants_of(record: stepwise.Record, machine: Machine) -> Mapping[tuple[str | None, int], int]:
    """The constants that a run loads, with the kind of step that wants each, None for what is only placed.
    There are none where all are part of instructions.
    """
    constants: Counter[tuple[str | None, int]] = Counter()
    if not any(load_of(value, machine) for value in record.constants):
        return constants
    for event in record.events:
        if isinstance(event.statement, Step):
            kind = event.statement.kind.counted_as
            constants.update((kind, o.value) for o in event.statement.operands if isinstance(o, Constant))
    by_value: Counter[int] = Counter()
    for (_, value), times in constants.items():
        by_value[value] += times
    for value, times in record.constants.items():
        if times > by_value[value]:
            constants[None, value] += times - by_value[value]
    return constants


def load_of(constant: int, machine: Machine, kind: str | None = None) -> Entry | None:
    """The native step that brings a constant of one word to a register; None where the constant is part of
    the step that wants it.
    """
    width = constant_width(constant)
    if any(_is_immediate(form, machine) for form in _forms(constant, kind, machine)):
        return None
    upper = machine.upper_immediate_bits
    if upper and constant % (1 << machine.word - upper) == 0:
        return Entry("load_constant", "move", machine.word)
    return Entry("load_constant", "load_constant", width)


def _forms(constant: int, kind: str | None, machine: Machine) -> Iterator[int]:
    """The constant, and those that another instruction takes in its place."""
    yield constant
    if machine.shifted_immediates:
        ones = (1 << machine.word) - 1
        if kind in ("and", "or"):
            yield constant ^ ones
        if kind in ("add", "subtract", "compare"):
            yield -constant & ones


def _is_immediate(constant: int, machine: Machine) -> bool:
    """Whether a constant is part of an instruction."""
    places = 0
    if machine.shifted_immediates and constant:
        places = (constant & -constant).bit_length() - 1
    return constant_width(constant >> places) <= machine.immediate_bits


def _loads(constants: Mapping[tuple[str | None, int], int], machine: Machine) -> Mapping[Entry, int]:
    loads: Counter[Entry] = Counter()
    for (kind, constant), times in constants.items():
        load = load_of(constant, machine, kind)
        if load is not None:
            loads[load] += times
    return loads


def expansion_of(shape: Shape, machine: Machine) -> ExpandedStep:
    """The program that a step becomes."""
    return expanded_step(shape.kind, shape.operands, shape.immediate, shape.width, machine)


@lru_cache(maxsize=256)
def run_of(expanded: ExpandedStep, shape: Shape, feature: int | None, word: int) -> stepwise.Record:
    """One run of the expansion of a step to words, on operands that have the feature. What is recorded are
    the statements of this very expansion: one made anew has others.
    """
    arguments = [
        (number >> (index * word)) & ((1 << width) - 1)
        for number, value in _numbers(shape, feature)
        for index, width in enumerate(word_widths(value.width, word))
        if index >= value.zeros // word
    ]
    return stepwise.run(expanded.program, arguments)


def is_native(shape: Shape, machine: Machine) -> bool:
    """Whether a step of one word is the machine's own."""
    kind = STEPS[shape.kind]
    widest = max(shape.widths)
    if isinstance(shape.immediate, Table) and machine.habits.address_bits:
        return False
    if kind.is_shift:
        return machine.barrel_shifter and max(widest, shape.width) <= machine.word
    match kind.counted_as:
        case "multiply":
            return widest <= machine.multiplier_bits
        case "divide":
            dividend, divisor = shape.widths
            return widest <= machine.word and machine.divides(dividend, divisor, shape.width)
        case "count_leading_zeros":
            return machine.leading_zero_count and widest == machine.word
        case "compare":
            return widest <= machine.word
    # A sum is one bit wider than a word with its carry, which only matters where something takes it up.
    return max(widest, shape.width if kind.counted_as != "add" else 0) <= machine.word


def kinds_that_meet(shape: Shape, machine: Machine) -> frozenset[str] | None:
    """The kinds of native steps that show something of a step's feature, if it takes the same ones whatever
    the feature is; None where it may take other ones, since its expansion branches.
    """
    if is_native(shape, machine):
        return frozenset([_own_step(shape, None, machine).kind])
    programs = list(_with_callees(expansion_of(shape, machine).program))
    if any(map(_branches, programs)):
        return None
    return frozenset(site.entry.kind for program in programs for site in bill_of(program).sites)


def _with_callees(program: Program) -> Iterator[Program]:
    """A program and those that are called in it."""
    yield program
    for callee in program.callees:
        yield from _with_callees(callee)


def _branches(program: Program) -> bool:
    """Whether not all runs of a program take the same steps of its own."""
    decisions = any(isinstance(statement, If) for statement in program.body.all_statements())
    return decisions or any(isinstance(loop.count, Variable) for loop in program.body.all_loops())


@kept
def native_among(program: Program, machine: Machine) -> frozenset[Step]:
    """The steps of a program that are the machine's own."""
    shapes = _shapes_of(program, machine.word)
    return frozenset(step for step, shape in shapes.items() if is_native(shape, machine))


def _own_step(shape: Shape, feature: int | None, machine: Machine) -> Entry:
    """A step that is the machine's own, as it is priced."""
    kind = STEPS[shape.kind]
    assert kind.counted_as is not None
    width = min(kind.counted_width(shape.widths, shape.width), machine.word)
    return Entry(kind.counted_as, kind.counted_as, width, feature)


def _numbers(shape: Shape, feature: int | None) -> list[tuple[int, Value]]:
    """Numbers for the operands that are no constants, which show the feature."""
    n = feature or 0
    numbers = []
    for place, given in enumerate(shape.operands):
        if isinstance(given, Constant):
            continue
        ones = (1 << given.width) - 1
        match STEPS[shape.kind].feature, place:
            case Feature.SET_BITS, 0:
                number = ones
            case Feature.SET_BITS, 1:
                number = (1 << n) - 1 << given.zeros
            case Feature.DISTANCE, 1:
                number = n
            case Feature.DISTANCE, 0:
                number = 0
            case Feature.RESULT, _:
                number = (1 << (given.width - n)) >> 1
            case _ if isinstance(shape.immediate, Table):
                number = 0
            case _ if shape.kind == "divide":
                number = 0 if place == 0 else ones >> given.zeros << given.zeros
            case _:
                # A difference must not be negative, and a choice takes its first side.
                number = ones if place == 0 else 0
        numbers.append((number, given))
    return numbers
