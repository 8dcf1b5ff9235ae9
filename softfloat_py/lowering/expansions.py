"""Which routine expands which step, and what an expansion takes on a machine.

A tally knows kinds, widths and features. To price a cell of it, a step with these is built, expanded for
the machine and run once on operands that have the feature; what was counted in that run is what the CPU
does. Nothing here is counted by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from softfloat_py.engines import stepwise
from softfloat_py.integer_form.builder import Builder
from softfloat_py.integer_form.counting import Entry
from softfloat_py.integer_form.grammar import Operand, Program, Return, Variable
from softfloat_py.integer_form.reader import write_out
from softfloat_py.integer_form.source import source_of
from softfloat_py.integer_form.specialising import without_useless_steps
from softfloat_py.lowering import addition, comparison, leading_zeros, logic, multiplication, shifts
from softfloat_py.lowering.comparison import moved
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words, cut, fitted
from softfloat_py.routines.language import Routine

Words = tuple[Operand, ...]


class Expansion(NamedTuple):
    """A routine on words, and which of its parameters the step's operands are, in order.

    `distance` and `condition` are single words. A constant shift's distance is its immediate.
    """

    routine: Routine
    operands: tuple[str, ...] = ("x", "y")


EXPANSIONS: dict[str, Expansion] = {
    "add": Expansion(addition.add),
    "add_modulo": Expansion(addition.add),
    "subtract": Expansion(addition.subtract),
    "subtract_modulo": Expansion(addition.subtract),
    "multiply": Expansion(multiplication.multiply),
    "and": Expansion(logic.conjunction),
    "or": Expansion(logic.disjunction),
    "xor": Expansion(logic.exclusive_disjunction),
    "not": Expansion(logic.complement, ("x",)),
    "shift_left": Expansion(shifts.shift_left_constant, ("x",)),
    "shift_right": Expansion(shifts.shift_right_constant, ("x",)),
    "shift_left_variable": Expansion(shifts.shift_left_variable, ("x", "distance")),
    "shift_right_variable": Expansion(shifts.shift_right_variable, ("x", "distance")),
    "equal": Expansion(comparison.equal),
    "not_equal": Expansion(comparison.not_equal),
    "less": Expansion(comparison.less),
    "less_or_equal": Expansion(comparison.less_or_equal),
    "select": Expansion(comparison.choose, ("condition", "x", "y")),
    "count_leading_zeros": Expansion(leading_zeros.leading_zeros, ("x",)),
    "move": Expansion(moved, ("x",)),
    "resize": Expansion(cut, ("x",)),
}
_SINGLE_WORDS = ("distance", "condition")


def expand(
    builder: Builder, name: str, operands: Sequence[Words], immediate: int, width: int, machine: Machine
) -> Words:
    """Add the expansion of a step to a form; operands and result in words, the result `width` bits."""
    expansion = EXPANSIONS[name]
    available: dict[str, Any] = {
        "width": width, "machine": machine, "word": machine.word, "distance": immediate,
    }  # fmt: skip
    for parameter, words in zip(expansion.operands, operands, strict=True):
        available[parameter] = words[0] if parameter in _SINGLE_WORDS else words
    wanted = [argument.arg for argument in source_of(expansion.routine).node.args.args]
    result = write_out(builder, expansion.routine, {name: available[name] for name in wanted})
    words = result if isinstance(result, tuple) else (result,)
    fit = write_out(builder, fitted, {"x": words, "width": width, "word": machine.word})
    return tuple(fit)


def parameter_words(builder: Builder, name: str, width: int, word: int) -> tuple[Variable, ...]:
    """Variables for a parameter of `width` bits."""
    return tuple(
        builder.variable(f"{name}{index}", min(word, width - index * word))
        for index in range(count_words(width, word))
    )


@lru_cache(maxsize=None)
def expansion_program(name: str, widths: tuple[int, ...], immediate: int, width: int, machine: Machine) -> Program:
    """One step, on operands of these widths, as a program of its own in a machine's words."""
    builder = Builder()
    operands = [
        parameter_words(builder, letter, operand_width, machine.word)
        for letter, operand_width in zip("abc", widths, strict=False)
    ]
    results: list[Words] = []

    def fill() -> None:
        results.append(expand(builder, name, operands, immediate, width, machine))
        builder.statements.append(Return(results[0], name, builder.position))

    body = builder.block(fill)
    parameters = tuple(word for operand in operands for word in operand)
    return without_useless_steps(
        Program(name, parameters, frozenset(), tuple(word.width for word in results[0]), body)
    )


def run_expansion(program: Program, widths: Sequence[int], values: Sequence[int], word: int) -> stepwise.Record:
    """Run an expansion on whole numbers, cut into words."""
    arguments = [
        (value >> (index * word)) & ((1 << min(word, width - index * word)) - 1)
        for value, width in zip(values, widths, strict=True)
        for index in range(count_words(width, word))
    ]
    return stepwise.run(program, arguments)


class _Case(NamedTuple):
    """A step that stands for a cell of a tally: operand widths, immediate, and operands that show the feature."""

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
        case "not" | "move":
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


@lru_cache(maxsize=None)
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
