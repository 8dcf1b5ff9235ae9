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
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.grammar import Program
from softfloat_py.numbers.formats import Format
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import integers
from softfloat_py.operations import Operation, Result, integer_format_of, operation_named, program_of
from softfloat_py.options import Options
from softfloat_py.routines.phases import CALL, PHASES
from softfloat_py.routines.sign_and_class import FloatClass
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
from softfloat_py.views.listing import phase_of, step_sections
from softfloat_py.views.rounding_words import DIRECTIONS, letters_explained, rounding_words
from softfloat_py.views.worksheet import Worksheet, find_rounding


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Explanation:
    """One operation on encodings, with the record of its steps; `print` it, or show it in a notebook.

    `parameter` is the target format or the integer format of the operations that have one, else None.
    `rounding` is the direction: the environment's, or what an operation always has; None is that of the
    augmented operations, to the nearest with ties toward zero.
    """

    operation: Operation
    format: Format
    operands: tuple[int, ...]
    parameter: Format | IntegerFormat | None
    rounding: Rounding | None
    options: Options
    program: Program
    record: Record

    @property
    def result(self) -> int:
        """The first result: an encoding, a truth (0 or 1), a class (0 to 9) or an integer's bits."""
        return self.record.results[0]

    @property
    def results(self) -> tuple[int, ...]:
        """All results: two where an error is delivered beside one, otherwise one."""
        return self.record.results[: self.operation.results]

    @property
    def result_format(self) -> Format | None:
        """The format of the results; None where these are no numbers of a format."""
        match self.operation.result, self.parameter:
            case Result.TARGET_NUMBER, Format() as target:
                return target
            case ((Result.NUMBER | Result.PAIR), _):
                return self.format
        return None

    @property
    def flags(self) -> Flags | None:
        """The flags raised; None where the options do not record them."""
        return Flags(self.record.results[self.operation.results]) if self.options.flags else None

    @property
    def steps_by_phase(self) -> dict[str, int]:
        """How many steps were counted in each phase, in the order of execution."""
        order = dict.fromkeys(map(phase_of, self.record.events))
        total: Counter[str] = Counter(dict.fromkeys([CALL, *order], 0))
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


def explain(
    operation: str, *operands: Any, target: Format | None = None, width: int = 32, signed: bool = True
) -> Explanation:
    """How an operation, given by the standard's name, comes to its result, in the current environment.

    Operands are Numbers, or Python numbers beside one; Python ints where the operation takes an integer, as
    `convert_from_integer` and `scale_b` do. `target` is the format of the result of `convert_format` and
    `convert_from_integer`; `width` and `signed` say which integers a conversion is about.
    Raises UnknownNameError for an operation that is not in the table, MixedFormatsError for operands of
    different formats, OperandError for the wrong number or kind of them.

    >>> from softfloat_py import binary32
    >>> explain("addition", binary32(6.25), binary32(-0.1))
    <Explanation: addition of 6.25 and -0.1 in binary32>
    """
    row = operation_named(operation)
    if len(operands) != row.arity:
        raise OperandError(f"{row.name} takes {counted(row.arity, 'operand')}, not {len(operands)}")
    named = dict(zip(row.operands, operands, strict=True))
    numbers = [value for name, value in named.items() if name not in row.integer_operands]
    fmt = _common_format(row, numbers) if numbers else _given(target, row)
    parameter: Format | IntegerFormat | None = None
    if row.parameters:
        parameter = _given(target, row) if "target" in row.parameters else IntegerFormat(width, signed)
    integer = integer_format_of(parameter)
    bits = tuple(
        _integer_bits(row, value, integer) if name in row.integer_operands else _encoding(fmt, value)
        for name, value in named.items()
    )
    return explain_encodings(row, fmt, bits, parameter)


def explain_encodings(
    operation: Operation,
    fmt: Format,
    operands: tuple[int, ...],
    parameter: Format | IntegerFormat | None = None,
) -> Explanation:
    """As `explain`, for an operation's row and encodings (or the bits of an integer)."""
    environment = current.get()
    options = environment.options
    program = program_of(operation, fmt, options, parameter)
    arguments = (*operands, environment.rounding) if len(program.parameters) > len(operands) else operands
    record = stepwise.run(program, arguments)
    direction = operation.fixed.get("rounding", environment.rounding)
    rounding = None if operation.result is Result.PAIR else direction
    return Explanation(operation, fmt, operands, parameter, rounding, options, program, record)


# -- operands ------------------------------------------------------------------------------------------


def _given(target: Format | None, operation: Operation) -> Format:
    if target is None:
        raise OperandError(f"{operation.name} needs the format of its result, for example target=binary16")
    return target


def _integer_bits(operation: Operation, value: Any, integer: IntegerFormat) -> int:
    if type(value) is not int or not integer.lowest <= value <= integer.highest:
        advice = "; give its width, or signed=False" if operation.parameters else ""
        raise OperandError(f"{operation.name} takes an {integer.name}, not {value!r}{advice}")
    return value % (1 << integer.width)


def _encoding(fmt: Format, value: Any) -> int:
    return value.bits if isinstance(value, Number) else fmt(value).bits


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
        case IntegerFormat() as integer if operation.result is Result.INTEGER:
            return f"{operation.name} of {operands} from {fmt.name} to {integer.name}"
        case IntegerFormat() as integer:
            return f"{operation.name} of {operands} from {integer.name} to {fmt.name}"
    return f"{operation.name} of {operands} in {fmt.name}"


def _operand_values(explanation: Explanation) -> list[str]:
    integer = integer_format_of(explanation.parameter)
    return [
        str(integers(bits, integer)) if is_integer else described(explanation.format, bits)
        for _, bits, is_integer in _operands(explanation)
    ]


def _operands(explanation: Explanation) -> Iterator[tuple[str, int, bool]]:
    """Each operand's name and bits, and whether it is an integer."""
    for name, bits in zip(explanation.operation.operands, explanation.operands, strict=True):
        yield name, bits, name in explanation.operation.integer_operands


def _has_direction(operation: Operation) -> bool:
    return operation.rounds or "rounding" in operation.fixed or operation.result is Result.PAIR


def _heading(explanation: Explanation) -> list[str]:
    operation = explanation.operation
    lines = [_title(explanation), f"arithmetic: {arithmetic(explanation.options.name)}"]
    if _has_direction(operation):
        lines.append(f"rounding: {DIRECTIONS[explanation.rounding]}")
    return [*lines, f"source: {operation.source}"]


def _sections(explanation: Explanation) -> Iterator[Section]:
    yield Section("Operands", _operand_lines(explanation))
    yield from _significand_sections(explanation)
    yield Section("Result", _result_lines(explanation))
    yield Section("Steps, in the order they were taken", [])
    yield from step_sections(explanation.program, explanation.record)
    yield Section("Steps counted", _count_lines(explanation))


def _operand_lines(explanation: Explanation) -> list[str]:
    integer = integer_format_of(explanation.parameter)
    numbers = [(name, bits) for name, bits, is_integer in _operands(explanation) if not is_integer]
    lines = field_lines(explanation.format, numbers) if numbers else []
    for name, bits, is_integer in _operands(explanation):
        if is_integer:
            lines.append(f"{name}  {binary(bits, integer.width)}  {integers(bits, integer)}")
    return lines


def _significand_sections(explanation: Explanation) -> Iterator[Section]:
    rounding = find_rounding(explanation.record)
    if rounding is None:
        if _has_direction(explanation.operation):
            yield Section("Rounding", [_nothing_added(explanation)])
        return
    sheet = Worksheet(explanation.program, explanation.record, explanation.format, rounding)
    yield Section("Significands, place by place", [*sheet.lines(), letters_explained(rounding.extra)])
    words = rounding_words(rounding, explanation.rounding)
    passed = explanation.steps_by_phase
    remarks = [f"{phase}: {PHASES[phase]}" for phase in ("below normal range", "overflow") if phase in passed]
    yield Section("Rounding", [*words, *remarks])


def _nothing_added(explanation: Explanation) -> str:
    if "round" in explanation.steps_by_phase:
        return "nothing is added: the bits below the kept ones are dropped, whatever they are worth"
    phase = phase_of(explanation.record.events[-1])
    return f"there was nothing to round: the result was settled in phase {phase!r}"


def _result_lines(explanation: Explanation) -> list[str]:
    fmt = explanation.result_format
    result, kind = explanation.result, explanation.operation.result
    if fmt is not None:
        lines = field_lines(fmt, zip(("result", "error"), explanation.results, strict=False))
    elif kind is Result.TRUTH:
        lines = ["true" if result else "false"]
    elif kind is Result.CLASS:
        lines = [FloatClass(result).name.lower().replace("_", " ")]
    else:
        integer = integer_format_of(explanation.parameter)
        lines = [f"{integers(result, integer)}  {binary(result, integer.width)}"]
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
