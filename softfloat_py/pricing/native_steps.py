"""What a counted step becomes on a machine.

A tally knows kinds, widths and features. To price a cell of it, a step with these is built, expanded for
the machine and run once on operands that have the feature; what was counted in that run is what the CPU
does. Nothing here is counted by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from softfloat_py.engines import stepwise
from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import Program
from softfloat_py.lowering.expansions import expansion_program
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words


def run_expansion(
    program: Program, widths: Sequence[int], values: Sequence[int], word: int
) -> stepwise.Record:
    """Run an expansion on whole numbers, cut into words."""
    arguments = [
        (value >> (index * word)) & ((1 << min(word, width - index * word)) - 1)
        for value, width in zip(values, widths, strict=True)
        for index in range(count_words(width, word))
    ]
    return stepwise.run(program, arguments)


class _Case(NamedTuple):
    """A step that stands for a cell of a tally: operand widths, immediate, and operands that show the
    feature.
    """

    name: str
    widths: tuple[int, ...]
    immediate: int
    values: tuple[int, ...]


def _case(kind: str, width: int, feature: int | None) -> _Case:
    n = feature or 0
    every_bit = (1 << width) - 1
    match kind:
        case "add":
            return _Case("add", (max(width - 1, 1),) * 2, 0, (0, 0))
        case "compare":
            return _Case("less", (width, width), 0, (0, 0))
        case "shift_left":
            return _Case("shift_left", (max(width - n, 1),), n, (0,))
        case "shift_right":
            return _Case("shift_right", (width,), n, (0,))
        case "shift_left_variable" | "shift_right_variable":
            distance_width = max((width - 1).bit_length(), 1)
            return _Case(kind, (width, distance_width), width, (1, min(n, width - 1)))
        case "multiply":
            return _Case("multiply", (width, width), 0, (every_bit, (1 << n) - 1))
        case "count_leading_zeros":
            return _Case(kind, (width,), 0, ((1 << (width - n)) >> 1,))
        case "not" | "move" | "load" | "store":
            return _Case(kind, (width,), 0, (0,))
        case "select":
            return _Case(kind, (1, width, width), 0, (1, 0, 0))
        case _:
            return _Case(kind, (width, width), 0, (0, 0))


def _result_width(case: _Case, width: int) -> int:
    match case.name:
        case "multiply":
            return 2 * width
        case "less":
            return 1
        case "shift_right":
            return max(width - case.immediate, 1)
        case "count_leading_zeros":
            return width.bit_length()
        case _:
            return width


@cache
def native_steps(kind: str, width: int, feature: int | None, machine: Machine) -> Counter[Entry]:
    """The native steps of a machine that a counted step becomes, and the constants they load."""
    if kind == "load_constant":
        return _loads(width, machine)
    if kind.startswith("branch") or _is_native(kind, width, machine):
        return Counter({Entry(kind, kind, width, feature): 1})
    case = _case(kind, width, feature)
    program = expansion_program(case.name, case.widths, case.immediate, _result_width(case, width), machine)
    counts = run_expansion(program, case.widths, case.values, machine.word).counts
    return Counter(
        {
            entry: n
            for entry, n in counts.items()
            if entry.kind not in ("call", "return")
            and not (entry.kind == "load_constant" and entry.width <= machine.immediate_bits)
        }
    )


def _is_native(kind: str, width: int, machine: Machine) -> bool:
    """Whether a step of one word is the machine's own."""
    match kind:
        case "multiply":
            return width <= machine.multiplier_bits
        case "count_leading_zeros":
            return machine.leading_zero_count and width == machine.word
        case "shift_left" | "shift_right" | "shift_left_variable" | "shift_right_variable":
            return machine.barrel_shifter and width <= machine.word
        case _:
            return width <= machine.word


def _loads(width: int, machine: Machine) -> Counter[Entry]:
    """A constant word by word; words that fit an immediate cost nothing."""
    words = (min(machine.word, width - start) for start in range(0, width, machine.word))
    return Counter(
        Entry("load_constant", "load_constant", bits) for bits in words if bits > machine.immediate_bits
    )
