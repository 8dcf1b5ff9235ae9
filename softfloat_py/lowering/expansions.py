"""Which routine expands which step, and a step expanded as a program of its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from softfloat_py.integer_form.builder import Builder
from softfloat_py.integer_form.finishing import Draft, finished
from softfloat_py.integer_form.grammar import Constant, Operand, Program, Return, Variable
from softfloat_py.integer_form.reader import write_out
from softfloat_py.integer_form.source import source_of
from softfloat_py.integer_form.tracing import Untraceable, trace_out
from softfloat_py.lowering import (
    table_entries,
    wide_addition,
    wide_comparison,
    wide_division,
    wide_leading_zeros,
    wide_multiplication,
    wide_shifts,
    wordwise,
)
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import fitted, word_widths
from softfloat_py.routines.language import Routine
from softfloat_py.routines.steps import STEPS, Immediate

Words = tuple[Operand, ...]


class Value(NamedTuple):
    """An operand that only a run knows: its width, and how many of its lowest bits are always zero."""

    width: int
    zeros: int = 0


# Abilities of a machine that routines ask for beside its word, those of the routines they call with them.
_SUMS = ("carry_flag", "habits")
_SHIFTS = (*_SUMS, "barrel_shifter")
_COUNTS = (*_SHIFTS, "leading_zero_count")
_PRODUCTS = (*_SHIFTS, "multiplier_bits")
_QUOTIENTS = (*_SHIFTS, "dividend_bits", "divisor_bits")


class Expansion(NamedTuple):
    """A routine on words, which of its parameters the step's operands are, in order, and the abilities of a
    machine that its steps depend on.

    `condition` is a single word. A constant shift's distance, and a table, are its immediate.
    """

    routine: Routine
    operands: tuple[str, ...] = ("x", "y")
    abilities: tuple[str, ...] = ()


EXPANSIONS: dict[str, Expansion] = {
    "add": Expansion(wide_addition.add, abilities=_SUMS),
    "add_modulo": Expansion(wide_addition.add_wrapping, abilities=_SUMS),
    "subtract": Expansion(wide_addition.subtract, abilities=_SUMS),
    "subtract_modulo": Expansion(wide_addition.subtract_wrapping, abilities=_SUMS),
    "multiply": Expansion(wide_multiplication.multiply, abilities=_PRODUCTS),
    "divide": Expansion(wide_division.quotient, abilities=_QUOTIENTS),
    "and": Expansion(wordwise.conjunction),
    "or": Expansion(wordwise.disjunction),
    "xor": Expansion(wordwise.exclusive_disjunction),
    "not": Expansion(wordwise.complement, ("x",)),
    "shift_left": Expansion(wide_shifts.shift_left_constant, ("x",), _SHIFTS),
    "shift_right": Expansion(wide_shifts.shift_right_constant, ("x",), _SHIFTS),
    "shift_left_variable": Expansion(wide_shifts.shift_left_variable, ("x", "distance"), _SHIFTS),
    "shift_right_variable": Expansion(wide_shifts.shift_right_variable, ("x", "distance"), _SHIFTS),
    "equal": Expansion(wide_comparison.equal),
    "not_equal": Expansion(wide_comparison.not_equal),
    "less": Expansion(wide_comparison.less, abilities=_SUMS),
    "less_or_equal": Expansion(wide_comparison.less_or_equal, abilities=_SUMS),
    "select": Expansion(wide_comparison.choose, ("condition", "x", "y")),
    "count_leading_zeros": Expansion(wide_leading_zeros.leading_zeros, ("x",), _COUNTS),
    "move": Expansion(wide_comparison.moved, ("x",)),
    "load": Expansion(wordwise.loaded, ("x",)),
    "store": Expansion(wordwise.stored, ("x",)),
    "look_up": Expansion(table_entries.looked_up, ("x",), _SHIFTS),
    "resize": Expansion(fitted, ("x",)),
}


@lru_cache(maxsize=1024)
def machine_of(kind: str, machine: Machine) -> Machine:
    """A machine as far as the expansion of a kind of step depends on it: the same for many CPUs."""
    return machine.only_with(EXPANSIONS[kind].abilities)


def expand(
    builder: Builder,
    name: str,
    operands: Sequence[Words],
    immediate: Immediate,
    width: int,
    machine: Machine,
    write: Callable[..., Any] = write_out,
) -> Words:
    """Add the expansion of a step to a form; operands and result in words, the result `width` bits. `write`
    is `write_out` or, where it `can_be_traced`, `trace_out`.
    """
    expansion = EXPANSIONS[name]
    available: dict[str, Any] = {
        "width": width, "machine": machine, "word": machine.word, "distance": immediate, "table": immediate,
    }  # fmt: skip
    for parameter, words in zip(expansion.operands, operands, strict=True):
        available[parameter] = words[0] if parameter == "condition" else words
    wanted = [argument.arg for argument in source_of(expansion.routine).node.args.args]
    result = write(builder, expansion.routine, {name: available[name] for name in wanted})
    words = result if isinstance(result, tuple) else (result,)
    if tuple(operand.width for operand in words) != word_widths(width, machine.word):
        words = write(builder, fitted, {"x": words, "width": width, "word": machine.word})
    return tuple(words)


def can_be_traced(name: str, machine: Machine) -> bool:
    """Whether running the expansion of a kind of step gives its steps, unless it has a branch: no loop stays
    one in it, and it is no comparison, of which Python may exchange the operands. Steps get no names
    so, which nobody asks for who prices them.
    """
    if name == "multiply":
        return machine.multiplier_bits > 0
    if name == "divide":
        return False
    return "distance" not in EXPANSIONS[name].operands and STEPS[name].counted_as != "compare"


def parameter_words(builder: Builder, name: str, width: int, word: int) -> tuple[Variable, ...]:
    """Variables for a parameter of `width` bits."""
    return tuple(
        builder.variable(f"{name}{index}", room) for index, room in enumerate(word_widths(width, word))
    )


def constant_words(constant: Constant, word: int) -> tuple[Constant, ...]:
    """A constant in words."""
    return tuple(
        Constant((constant.value >> (index * word)) & ((1 << width) - 1), width)
        for index, width in enumerate(word_widths(constant.width, word))
    )


@dataclass(frozen=True, slots=True, eq=False)
class ExpandedStep:
    """One step as a program of its own in a machine's words.

    `words` are its parameters by the step's operand that they are words of; a constant has none, and words
    that are always zero are none.
    """

    program: Program
    words: tuple[tuple[Variable, ...], ...]


def expanded_step(
    name: str, operands: tuple[Constant | Value, ...], immediate: Immediate, width: int, machine: Machine
) -> ExpandedStep:
    """A step of a kind as a machine does it."""
    return expanded_for(name, operands, immediate, width, machine_of(name, machine))


@lru_cache(maxsize=2048)
def expanded_for(
    name: str, operands: tuple[Constant | Value, ...], immediate: Immediate, width: int, machine: Machine
) -> ExpandedStep:
    """As `expanded_step`, for all machines that `machine_of` makes this one of."""
    if can_be_traced(name, machine):
        with suppress(Untraceable):
            return written_by(trace_out, name, operands, immediate, width, machine)
    return written_by(write_out, name, operands, immediate, width, machine)


def written_by(
    write: Callable[..., Any],
    name: str,
    operands: tuple[Constant | Value, ...],
    immediate: Immediate,
    width: int,
    machine: Machine,
) -> ExpandedStep:
    """As `expanded_step`, by one of the two ways to write a routine out."""
    builder = Builder()
    given: list[Words] = []
    parameters: list[tuple[Variable, ...]] = []
    for letter, operand in zip("abc", operands, strict=False):
        if isinstance(operand, Constant):
            given.append(constant_words(operand, machine.word))
            parameters.append(())
        else:
            zero_words = operand.zeros // machine.word
            variables = parameter_words(builder, letter, operand.width, machine.word)[zero_words:]
            given.append((Constant(0, machine.word),) * zero_words + variables)
            parameters.append(variables)
    results: list[Words] = []

    def fill() -> None:
        results.append(expand(builder, name, given, immediate, width, machine, write))
        builder.statements.append(Return(results[0], name, builder.position))

    body = builder.block(fill)
    widths = tuple(word.width for word in results[0])
    flat = tuple(variable for variables in parameters for variable in variables)
    program = finished(Draft(name, flat, frozenset(), widths, body))
    return ExpandedStep(program, tuple(parameters))
