"""What a step of a program becomes on a machine.

A step is expanded for the machine, with the constants among its operands as they are, and run once on
operands that have the feature in question; what was counted in that run is what the CPU does. Nothing here
is counted by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from softfloat_py.engines import stepwise
from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import Constant, Program, Step
from softfloat_py.lowering.expansions import expansion_program
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import word_widths
from softfloat_py.routines.steps import STEPS, Feature, constant_width

# An operand: a constant, or the width of a value that only a run knows.
Given = Constant | int


class Shape(NamedTuple):
    """All that the expansion of a step depends on, apart from the machine."""

    kind: str
    operands: tuple[Given, ...]
    immediate: int
    width: int

    @property
    def widths(self) -> tuple[int, ...]:
        """The operands' widths."""
        return tuple(given.width if isinstance(given, Constant) else given for given in self.operands)


def shape_of(step: Step) -> Shape:
    """The shape of a step."""
    given = tuple(operand if isinstance(operand, Constant) else operand.width for operand in step.operands)
    return Shape(step.kind.name, given, step.immediate, step.target.width)


@cache
def native_steps(shape: Shape, feature: int | None, machine: Machine) -> Mapping[Entry, int]:
    """The native steps of a machine that a step becomes, and the constants it loads; `feature` is that of the
    step's kind, None for a kind that has none.
    """
    if is_native(shape, machine):
        return _native_step(shape, feature, machine)
    return {
        entry: n
        for entry, n in run_of(shape, feature, machine).counts.items()
        if entry.kind not in ("call", "return") and not _is_immediate(entry, machine)
    }


def expansion_of(shape: Shape, machine: Machine) -> Program:
    """The program that a step becomes."""
    return expansion_program(shape.kind, shape.operands, shape.immediate, shape.width, machine)


@cache
def run_of(shape: Shape, feature: int | None, machine: Machine) -> stepwise.Record:
    """One run of a step's expansion, on operands that have the feature."""
    arguments = [
        (value >> (index * machine.word)) & ((1 << width) - 1)
        for value, whole in _values(shape, feature)
        for index, width in enumerate(word_widths(whole, machine.word))
    ]
    return stepwise.run(expansion_of(shape, machine), arguments)


def is_native(shape: Shape, machine: Machine) -> bool:
    """Whether a step of one word is the machine's own."""
    kind = STEPS[shape.kind]
    widest = max(shape.widths)
    match kind.counted_as:
        case "multiply":
            return widest <= machine.multiplier_bits
        case "count_leading_zeros":
            return machine.leading_zero_count and widest == machine.word
        case "compare":
            return widest <= machine.word
        case "shift_left" | "shift_right" | "shift_left_variable" | "shift_right_variable":
            return machine.barrel_shifter and max(widest, shape.width) <= machine.word
    # A sum is one bit wider than a word with its carry, which only matters where something takes it up.
    return max(widest, shape.width if kind.counted_as != "add" else 0) <= machine.word


def _native_step(shape: Shape, feature: int | None, machine: Machine) -> Mapping[Entry, int]:
    kind = STEPS[shape.kind]
    assert kind.counted_as is not None
    width = min(kind.counted_width(shape.widths, shape.width), machine.word)
    steps = Counter({Entry(kind.counted_as, kind.counted_as, width, feature): 1})
    for given in shape.operands:
        if isinstance(given, Constant):
            load = Entry("load_constant", "load_constant", constant_width(given.value))
            if not _is_immediate(load, machine):
                steps[load] += 1
    return steps


def _is_immediate(entry: Entry, machine: Machine) -> bool:
    return entry.kind == "load_constant" and entry.width <= machine.immediate_bits


def _values(shape: Shape, feature: int | None) -> list[tuple[int, int]]:
    """Values, with their widths, for the operands that are no constants, which show the feature."""
    n = feature or 0
    values = []
    for place, given in enumerate(shape.operands):
        if isinstance(given, Constant):
            continue
        ones = (1 << given) - 1
        match STEPS[shape.kind].feature, place:
            case Feature.SET_BITS, 0:
                value = ones
            case Feature.SET_BITS, 1:
                value = (1 << n) - 1
            case Feature.DISTANCE, 1:
                value = n
            case Feature.DISTANCE, 0:
                value = 0
            case Feature.RESULT, _:
                value = (1 << (given - n)) >> 1
            case _:
                # A difference must not be negative, and a choice takes its first side.
                value = ones if place == 0 else 0
        values.append((value, given))
    return values
