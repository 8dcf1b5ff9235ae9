"""One operation told from its recorded steps: what the lecturer's blackboard would show.

Everything shown is in the stepwise engine's record. Nothing is worked out beside it, so an explanation cannot
disagree with the arithmetic.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from softfloat_py.engines import stepwise
from softfloat_py.engines.stepwise import Record
from softfloat_py.environment import Flags, Rounding, current
from softfloat_py.errors import MixedFormatsError, OperandError
from softfloat_py.formats import Format
from softfloat_py.integer_form.grammar import Program
from softfloat_py.numbers.number import Number
from softfloat_py.operations import Operation, Result, operation_named, program_of
from softfloat_py.options import Options
from softfloat_py.routines.steps import COUNTED_KINDS
from softfloat_py.views.encodings import described, field_lines
from softfloat_py.views.layout import (
    Section,
    arithmetic,
    binary,
    columns,
    counted,
    grouped,
    sections_html,
    sections_text,
)
from softfloat_py.views.listing import step_sections
from softfloat_py.views.phases import PHASES, phase_of
from softfloat_py.views.rounding_words import DIRECTIONS, letters_explained, rounding_words
from softfloat_py.views.worksheet import Worksheet, find_rounding


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Explanation:
    """One operation on encodings, with the record of its steps; `print` it, or show it in a notebook.

    `parameter` is the target format or the width in bits of the operations that have one, else None.
    """

    operation: Operation
    format: Format
    operands: tuple[int, ...]
    parameter: Format | int | None
    rounding: Rounding
    options: Options
    program: Program
    record: Record

    @property
    def result(self) -> int:
        """The result: an encoding, a truth (0 or 1), or a two's complement integer's bits."""
        return self.record.results[0]

    @property
    def result_format(self) -> Format | None:
        """The format of the result; None where it is a truth or an integer."""
        if self.operation.result is Result.TARGET_NUMBER:
            assert isinstance(self.parameter, Format)
            return self.parameter
        return self.format if self.operation.result is Result.NUMBER else None

    @property
    def flags(self) -> Flags | None:
        """The flags raised; None where the options do not record them."""
        return Flags(self.record.results[1]) if self.options.flags else None

    @property
    def steps_by_phase(self) -> dict[str, int]:
        """How many steps were counted in each phase, in the order of execution."""
        order = dict.fromkeys(map(phase_of, self.record.events))
        total: Counter[str] = Counter(dict.fromkeys(["call", *order], 0))
        for entry, count in self.record.counts.items():
            total[entry.phase] += count
        return dict(total)

    @property
    def steps_by_kind(self) -> dict[str, int]:
        """How many steps of each kind were counted, in the order of the table of steps."""
        total: Counter[str] = Counter()
        for entry, count in self.record.counts.items():
            total[entry.kind] += count
        return {kind: total[kind] for kind in COUNTED_KINDS if total[kind]}

    def __repr__(self) -> str:
        return f"<Explanation: {_title(self)}>"

    def __str__(self) -> str:
        return sections_text(_heading(self), _sections(self))

    def _repr_html_(self) -> str:
        return sections_html(_heading(self), _sections(self))


def explain(operation: str, *operands: Any, target: Format | None = None, width: int = 32) -> Explanation:
    """How an operation, given by the standard's name, comes to its result, in the current environment.

    Operands are Numbers, or Python numbers beside one; of `convert_from_integer`, a Python int. `target` is
    the format of the result of `convert_format` and `convert_from_integer`, `width` the bits of an integer.
    Raises UnknownNameError for an operation that is not in the table, MixedFormatsError for operands of
    different formats, OperandError for the wrong number or kind of them.

    >>> from softfloat_py import binary32
    >>> explain("addition", binary32(6.25), binary32(-0.1))
    <Explanation: addition of 6.25 and -0.1 in binary32>
    """
    row = operation_named(operation)
    if len(operands) != row.arity:
        raise OperandError(f"{row.name} takes {counted(row.arity, 'operand')}, not {len(operands)}")
    if row.name == "convert_from_integer":
        return explain_encodings(row, _given(target, row), (_integer_bits(operands[0], width),), width)
    fmt = _common_format(row, operands)
    bits = tuple(x.bits if isinstance(x, Number) else fmt(x).bits for x in operands)
    if row.name == "convert_format":
        return explain_encodings(row, fmt, bits, _given(target, row))
    return explain_encodings(row, fmt, bits, width if row.parameters else None)


def explain_encodings(
    operation: Operation, fmt: Format, operands: tuple[int, ...], parameter: Format | int | None = None
) -> Explanation:
    """As `explain`, for an operation's row and encodings (or the bits of a two's complement integer)."""
    environment = current.get()
    options = environment.options
    program = program_of(operation, fmt, options, parameter)
    arguments = (*operands, environment.rounding) if len(program.parameters) > len(operands) else operands
    record = stepwise.run(program, arguments)
    return Explanation(operation, fmt, operands, parameter, environment.rounding, options, program, record)


# -- operands ------------------------------------------------------------------------------------------


def _given(target: Format | None, operation: Operation) -> Format:
    if target is None:
        raise OperandError(f"{operation.name} needs the format of its result, for example target=binary16")
    return target


def _integer_bits(value: Any, width: int) -> int:
    if type(value) is not int or not -(1 << (width - 1)) <= value < 1 << (width - 1):
        raise OperandError(
            f"convert_from_integer takes an int of {width} bits, not {value!r}; give its width"
        )
    return value % (1 << width)


def _common_format(operation: Operation, operands: Iterable[Any]) -> Format:
    formats = list(dict.fromkeys(x.format for x in operands if isinstance(x, Number)))
    if not formats:
        raise OperandError(
            f"{operation.name} needs an emulated operand, for example binary32(1.5), to know a format"
        )
    if len(formats) > 1:
        raise MixedFormatsError(operation.name, formats[0].name, formats[1].name)
    return formats[0]


# -- what is shown -------------------------------------------------------------------------------------


def _title(explanation: Explanation) -> str:
    operation, fmt = explanation.operation, explanation.format
    operands = " and ".join(_operand_values(explanation))
    match explanation.parameter:
        case Format() as target:
            return f"{operation.name} of {operands} from {fmt.name} to {target.name}"
        case int() as width if operation.result is Result.INTEGER:
            return f"{operation.name} of {operands} from {fmt.name} to {width} bits"
        case int() as width:
            return f"{operation.name} of {operands} from {width} bits to {fmt.name}"
    return f"{operation.name} of {operands} in {fmt.name}"


def _operand_values(explanation: Explanation) -> list[str]:
    if explanation.operation.name == "convert_from_integer":
        return [str(_signed(explanation.operands[0], explanation.program.parameters[0].width))]
    return [described(explanation.format, bits) for bits in explanation.operands]


def _signed(bits: int, width: int) -> int:
    """The two's complement number with these bits."""
    return bits - (1 << width) if bits >> (width - 1) else bits


def _heading(explanation: Explanation) -> list[str]:
    operation = explanation.operation
    lines = [_title(explanation), f"arithmetic: {arithmetic(explanation.options.name)}"]
    if operation.rounds:
        lines.append(f"rounding: {DIRECTIONS[explanation.rounding]}")
    return [*lines, f"source: IEEE 754-2019, clause {operation.clause}"]


def _sections(explanation: Explanation) -> Iterator[Section]:
    yield Section("Operands", _operand_lines(explanation))
    yield from _significand_sections(explanation)
    yield Section("Result", _result_lines(explanation))
    yield Section("Steps, in the order they were taken", [])
    yield from step_sections(explanation.program, explanation.record)
    yield Section("Steps counted", _count_lines(explanation))


def _operand_lines(explanation: Explanation) -> list[str]:
    if explanation.operation.name == "convert_from_integer":
        width = explanation.program.parameters[0].width
        return [f"value  {binary(explanation.operands[0], width)}  {_operand_values(explanation)[0]}"]
    return field_lines(
        explanation.format, zip(explanation.operation.operands, explanation.operands, strict=True)
    )


def _significand_sections(explanation: Explanation) -> Iterator[Section]:
    rounding = find_rounding(explanation.record)
    if rounding is None:
        if explanation.operation.rounds:
            phase = phase_of(explanation.record.events[-1])
            yield Section(
                "Rounding", [f"there was nothing to round: the result was settled in phase {phase!r}"]
            )
        return
    sheet = Worksheet(explanation.program, explanation.record, explanation.format, rounding)
    yield Section("Significands, place by place", [*sheet.lines(), letters_explained(rounding.extra)])
    words = rounding_words(rounding, explanation.rounding)
    passed = explanation.steps_by_phase
    remarks = [f"{phase}: {PHASES[phase]}" for phase in ("below normal range", "overflow") if phase in passed]
    yield Section("Rounding", [*words, *remarks])


def _result_lines(explanation: Explanation) -> list[str]:
    fmt = explanation.result_format
    if fmt is not None:
        lines = field_lines(fmt, [("result", explanation.result)])
    elif explanation.operation.result is Result.TRUTH:
        lines = ["true" if explanation.result else "false"]
    else:
        width = explanation.program.result_widths[0]
        lines = [f"{_signed(explanation.result, width)}  {binary(explanation.result, width)}"]
    return [
        *lines,
        "flags raised: " + ("not recorded" if explanation.flags is None else str(explanation.flags)),
    ]


def _count_lines(explanation: Explanation) -> list[str]:
    total = sum(explanation.record.counts.values())
    tables = [("by phase", explanation.steps_by_phase), ("by kind", explanation.steps_by_kind)]
    lines = [counted(total, "step") + " with the loads of constants, the branches, the call and the return"]
    for title, counts in tables:
        lines += [title, *columns([(f"  {name}", grouped(n)) for name, n in counts.items()], "<>")]
    return lines
