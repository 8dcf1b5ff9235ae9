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
from softfloat_py.formats import BinaryFormat, IntegerFormat
from softfloat_py.numbers.encoding import encode
from softfloat_py.numbers.formats import Format
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import integers
from softfloat_py.operations import Operation, Result, operation_named
from softfloat_py.routines.phases import CALL, PHASES
from softfloat_py.routines.sign_and_class import FloatClass
from softfloat_py.routines.steps import COUNTED_KINDS
from softfloat_py.uses import Use, given
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

    `direction` is the environment's.
    """

    use: Use
    operands: tuple[int, ...]
    direction: Rounding
    record: Record

    def __reduce__(self) -> tuple[Any, ...]:
        """A copy, or what another process reads, is made again: a record is of one program."""
        return _explained, (self.use, self.operands, self.direction)

    @property
    def rounding(self) -> Rounding | None:
        """The direction that an operation always has, or else the environment's; None is that of the
        augmented operations, to the nearest with ties toward zero.
        """
        operation = self.use.operation
        return None if operation.result is Result.PAIR else operation.fixed.get("rounding", self.direction)

    @property
    def result(self) -> int:
        """The first result: an encoding, a truth (0 or 1), a class (0 to 9) or an integer's bits."""
        return self.record.results[0]

    @property
    def results(self) -> tuple[int, ...]:
        """All results: two where an error is delivered beside one, otherwise one."""
        return self.record.results[: self.use.operation.results]

    @property
    def result_format(self) -> BinaryFormat | None:
        """The format of the results; None where these are no numbers of a format."""
        return self.use.delivered

    @property
    def flags(self) -> Flags | None:
        """The flags raised; None where the options do not record them."""
        return Flags(self.record.results[self.use.operation.results]) if self.use.options.flags else None

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
    fmt = _common_format(row, numbers) if numbers else given(target, row)
    options = current.get().options
    use = Use.named(operation, fmt, options, target=target, width=width, signed=signed)
    bits = tuple(
        _integer_bits(use, value) if name in row.integer_operands else _encoding(fmt, value)
        for name, value in named.items()
    )
    return explain_encodings(use, bits)


def explain_encodings(use: Use, operands: tuple[int, ...]) -> Explanation:
    """As `explain`, for encodings (or the bits of an integer), in the direction in force."""
    return _explained(use, operands, current.get().rounding)


def _explained(use: Use, operands: tuple[int, ...], direction: Rounding) -> Explanation:
    record = stepwise.run(use.program, use.arguments(operands, direction))
    return Explanation(use, operands, direction, record)


# -- operands ------------------------------------------------------------------------------------------


def _integer_bits(use: Use, value: Any) -> int:
    operation, integer = use.operation, use.integer
    if type(value) is not int or not integer.lowest <= value <= integer.highest:
        advice = "; give its width, or signed=False" if operation.parameters else ""
        raise OperandError(f"{operation.name} takes an {integer.name}, not {value!r}{advice}")
    return value % (1 << integer.width)


def _encoding(fmt: BinaryFormat, value: Any) -> int:
    return value.bits if isinstance(value, Number) else encode(fmt, value)[0]


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
    operation, fmt = explanation.use.operation, explanation.use.format
    operands = " and ".join(_operand_values(explanation))
    match explanation.use.parameter:
        case BinaryFormat() as target:
            return f"{operation.name} of {operands} from {fmt.name} to {target.name}"
        case IntegerFormat() as integer if operation.result is Result.INTEGER:
            return f"{operation.name} of {operands} from {fmt.name} to {integer.name}"
        case IntegerFormat() as integer:
            return f"{operation.name} of {operands} from {integer.name} to {fmt.name}"
    return f"{operation.name} of {operands} in {fmt.name}"


def _operand_values(explanation: Explanation) -> list[str]:
    use = explanation.use
    return [
        str(integers(bits, use.integer)) if is_integer else described(use.format, bits)
        for _, bits, is_integer in _operands(explanation)
    ]


def _operands(explanation: Explanation) -> Iterator[tuple[str, int, bool]]:
    """Each operand's name and bits, and whether it is an integer."""
    operation = explanation.use.operation
    for name, bits in zip(operation.operands, explanation.operands, strict=True):
        yield name, bits, name in operation.integer_operands


def _has_direction(operation: Operation) -> bool:
    return operation.rounds or "rounding" in operation.fixed or operation.result is Result.PAIR


def _heading(explanation: Explanation) -> list[str]:
    use = explanation.use
    lines = [_title(explanation), f"arithmetic: {arithmetic(use.options.name)}"]
    if _has_direction(use.operation):
        lines.append(f"rounding: {DIRECTIONS[explanation.rounding]}")
    return [*lines, f"source: {use.operation.source}"]


def _sections(explanation: Explanation) -> Iterator[Section]:
    yield Section("Operands", _operand_lines(explanation))
    yield from _significand_sections(explanation)
    yield Section("Result", _result_lines(explanation))
    yield Section("Steps, in the order they were taken", [])
    yield from step_sections(explanation.use.program, explanation.record)
    yield Section("Steps counted", _count_lines(explanation))


def _operand_lines(explanation: Explanation) -> list[str]:
    use = explanation.use
    numbers = [(name, bits) for name, bits, is_integer in _operands(explanation) if not is_integer]
    lines = field_lines(use.format, numbers) if numbers else []
    for name, bits, is_integer in _operands(explanation):
        if is_integer:
            lines.append(f"{name}  {binary(bits, use.integer.width)}  {integers(bits, use.integer)}")
    return lines


def _significand_sections(explanation: Explanation) -> Iterator[Section]:
    rounding = find_rounding(explanation.record)
    if rounding is None:
        if _has_direction(explanation.use.operation):
            yield Section("Rounding", [_nothing_added(explanation)])
        return
    sheet = Worksheet(explanation.use.program, explanation.record, explanation.use.format, rounding)
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
    use, result, kind = explanation.use, explanation.result, explanation.use.operation.result
    if (fmt := explanation.result_format) is not None:
        lines = field_lines(fmt, zip(("result", "error"), explanation.results, strict=False))
    elif kind is Result.TRUTH:
        lines = ["true" if result else "false"]
    elif kind is Result.CLASS:
        lines = [FloatClass(result).name.lower().replace("_", " ")]
    else:
        lines = [f"{integers(result, use.integer)}  {binary(result, use.integer.width)}"]
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
