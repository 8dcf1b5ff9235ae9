"""The operators of numbers: Python's methods, generated for the numbers of one format under some options.

A kernel spends its time here. So an operator is one function with everything in it: the short way for two
numbers of one format, the run, the flags, the log of the tally that counts. It is made when it is first
called, and another takes its place when other options are in force. `source` is its text.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from typing import Any

from softfloat_py.engines.text import Text
from softfloat_py.environment import OUTSIDE, current, default_environment
from softfloat_py.numbers.applying import note_uncounted
from softfloat_py.numbers.births import TELLING, flags_tell, note_birth
from softfloat_py.numbers.constants import constant
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.gates import compiled, gate_of, parameters_of, write_run
from softfloat_py.numbers.integer_data import is_in_kernel
from softfloat_py.numbers.operands import (
    bits_beside,
    combined,
    converted_integers,
    named,
    operator_name,
)
from softfloat_py.operations import Operation, Result
from softfloat_py.options import Options
from softfloat_py.tally.tally import COUNTING, counting_now
from softfloat_py.uses import Use, use_of

Operator = Callable[..., Any]
EQUALITY = ("__eq__", "__ne__")


def number_operator(operation: Operation, swapped: bool) -> Operator:
    """The operator of the class of all numbers: it gives the class of a format's its own, and passes on."""

    def operator(self: Emulated, *others: Any, level: int = 1) -> Any:
        return _installed(self, operation, swapped)(self, *others, level=level + 1)

    return operator


def _installed(number: Emulated, operation: Operation, swapped: bool) -> Operator:
    """The operator of a number's class for the options in force, put in its place there."""
    numbers: Any = type(number)
    options = current.conventions().options
    use = use_of(operation, number._format, options)
    made_for, made = numbers._operators.get((use, swapped), (None, None))
    if made_for is not options:
        made = _made(operation, use, numbers, options, swapped)
        numbers._operators[use, swapped] = options, made
    setattr(numbers, made.__name__, made)
    operator: Operator = made
    return operator


def _made(operation: Operation, use: Use, numbers: Any, options: Options, swapped: bool) -> Operator:
    """The operator of a use for the class of its format's numbers; equal options are told apart."""
    gate, name = gate_of(use), operator_name(operation, swapped)
    assert name is not None
    known = {
        "numbers": numbers, "use": use, "options": options, "magnitude": gate.magnitude,
        "special": gate.special, "environment_here": current.variable.get, "conventions": current.conventions,
        "OUTSIDE": OUTSIDE, "default_environment": default_environment,
        "tally_here": counting_now.variable.get, "counting": counting_now.get, "COUNTING": COUNTING,
        "frame_of": sys._getframe, "note_uncounted": note_uncounted, "note_birth": note_birth,
        "elsewhere": number_operator(operation, swapped), "operation": operation, "beside": beside,
        "combined": combined,
    }  # fmt: skip
    return named(compiled(use, source(use, swapped), "operator", known), name, operation)


def beside(self: Emulated, other: Any, operation: Operation, level: int) -> tuple[Any, Any]:
    """What `bits_beside` gives for what is no number of the same format, and the host's value that it is of;
    a float takes a short way.
    """
    if type(other) is float:
        return constant(self._format, other), other
    if type(other) is int and is_in_kernel(sys._getframe(level + 1)):
        other = converted_integers(self._format, other)
    return bits_beside(self._format, other, operation.name, operation.operator in EQUALITY), other


def source(use: Use, swapped: bool = False) -> str:
    """The text of an operator."""
    return _OperatorWriter(use, swapped).write()


class _OperatorWriter:
    def __init__(self, use: Use, swapped: bool) -> None:
        self.use, self.swapped = use, swapped
        *self.operands, self.direction = parameters_of(use)
        self.text = Text()

    def write(self) -> str:
        """The whole function."""
        text = self.text
        others = ["other"] if len(self.operands) == 2 else []
        with text.indented(f"def operator({', '.join(['self', *others, 'level=1'])}):"):
            self.write_conventions(others)
            if others:
                self.write_operands()
            else:
                text.line(f"{self.operands[0]} = self._bits")
            text.line(f"{self.direction} = environment.direction")
            with text.indented("while True:  # what is done once, and left by each return of the routine"):
                write_run(self.use, text, self.give)
            self.write_flags()
            self.write_counting(bool(others))
            self.write_result()
        return text.render()

    def give(self, result: str, raised: str) -> None:
        """What each return of the routine becomes."""
        keeps_flags = self.use.options.flags
        self.text.line(f"result, raised = {result}, {raised}" if keeps_flags else f"result = {result}")
        self.text.line("break")

    def write_conventions(self, others: list[str]) -> None:
        """The environment; another operator is made where other options are in force."""
        text = self.text
        text.line("environment = environment_here() or OUTSIDE")
        with text.indented("if environment.ended:"):
            text.line("environment = conventions()")
        with text.indented("if environment.options is not options:"):
            text.line(f"return elsewhere({', '.join(['self', *others, 'level=level + 1'])})")

    def write_operands(self) -> None:
        """The operands; `host` is a value of the host's that stands for one."""
        text = self.text
        mine, others = reversed(self.operands) if self.swapped else self.operands
        with text.indented("if type(other) is numbers:"):
            text.line(f"{mine}, {others}, host = self._bits, other._bits, None")
        with text.indented("else:"):
            text.line(f"{mine} = self._bits")
            text.line(f"{others}, host = beside(self, other, operation, level)")
            with text.indented(f"if type({others}) is not int:"):
                both = ", ".join(self.operands)
                text.line(
                    f"return {others} if {others} is NotImplemented "
                    f"else combined(operation, self._format, ({both}))"
                )

    def write_flags(self) -> None:
        if self.use.options.flags:
            with self.text.indented("if raised:"):
                with self.text.indented("if environment is OUTSIDE:"):
                    self.text.line("environment = default_environment()")
                self.text.line("environment.raised |= raised")

    def write_counting(self, may_have_host: bool) -> None:
        """The run in the log of the place that it was started from, and what else a tally notes."""
        text, direction = self.text, self.direction if self.use.takes_direction else "0"
        text.line("tally = tally_here()")
        with text.indented("if tally is not None and tally.ended:"):
            text.line("tally = counting()")
        with text.indented("if tally is not None:"):
            text.line("frame = frame_of(level)")
            text.line("code = frame.f_code")
            text.line("log = tally.latest.get(id(code) + frame.f_lasti)")
            unlike = "log is None or log.code is not code or log.use is not use"
            if self.use.takes_direction:
                unlike += f" or log.direction != {direction}"
            with text.indented(f"if {unlike}:"):
                text.line(f"log = tally.log_at(use, {direction}, frame)")
            text.line(f"log.extend(({separated(self.operands)}))")
            with text.indented("if len(log) >= log.full:"):
                text.line("tally.settle_log(log)")
            if may_have_host:
                with text.indented("if host is not None and host is not log.host:"):
                    text.line("log.host = host")
                    text.line("tally.notes.operand(host, frame)")
            if gate_of(self.use).magnitude:
                told = f"raised & {TELLING} and " if flags_tell(self.use) else ""
                with text.indented(f"if {told}result & magnitude >= special:"):
                    text.line(f"note_birth(tally, use, log.line, ({separated(self.operands)}), result)")
        with text.indented("elif COUNTING:"):
            text.line("note_uncounted(1)")

    def write_result(self) -> None:
        if self.use.operation.result is Result.TRUTH:
            self.text.line("return result == 1")
            return
        self.text.line("number = numbers()")
        self.text.line("number._bits = result")
        self.text.line("return number")


def separated(items: Sequence[str]) -> str:
    """What stands between the brackets of a tuple."""
    return "".join(f"{item}, " for item in items).strip() if len(items) == 1 else ", ".join(items)
