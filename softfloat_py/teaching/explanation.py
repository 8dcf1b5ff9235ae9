"""One operation with all that the stepwise engine recorded of it.

Nothing is worked out beside the record, so an explanation cannot disagree with the arithmetic.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, cast

from softfloat_py.engines import stepwise
from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.environment import Flags, Rounding, current
from softfloat_py.errors import MixedFormatsError, OperandError
from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.grammar import Note
from softfloat_py.numbers.encoding import encode
from softfloat_py.numbers.formats import Format
from softfloat_py.numbers.number import Number
from softfloat_py.operations import Operation, Result, operation_named
from softfloat_py.routines.phases import CALL
from softfloat_py.routines.steps import COUNTED_KINDS
from softfloat_py.uses import Use, given


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
    def format(self) -> Format:
        """The format of the operands; only operations of binary formats are explained."""
        return cast(Format, self.use.format)

    @property
    def result_format(self) -> Format | None:
        """The format of the results; None where these are no numbers of a format."""
        return cast("Format | None", self.use.delivered)

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
        from softfloat_py.views.explanation import title

        return f"<Explanation: {title(self)}>"

    def __str__(self) -> str:
        from softfloat_py.views.explanation import text

        return text(self)

    def _repr_html_(self) -> str:
        from softfloat_py.views.explanation import html

        return html(self)


def explain(
    operation: str, *operands: Any, target: Format | None = None, width: int = 32, signed: bool = True
) -> Explanation:
    """How an operation, given by the standard's name, comes to its result, in the current environment.

    Operands are Numbers, or Python numbers beside one; Python ints where the operation takes an integer, as
    `convert_from_integer`, `scale_b` and `pown` do. `target` is the format of the result of `convert_format`
    and `convert_from_integer`; `width` and `signed` say which integers a conversion is about.
    Raises UnknownNameError for an operation that is not in the table, MixedFormatsError for operands of
    different formats, OperandError for the wrong number or kind of them.

    >>> from softfloat_py import binary32
    >>> explain("addition", binary32(6.25), binary32(-0.1))
    <Explanation: addition of 6.25 and -0.1 in binary32>
    """
    row = operation_named(operation)
    if len(operands) != row.arity:
        noun = "operand" if row.arity == 1 else "operands"
        raise OperandError(f"{row.name} takes {row.arity} {noun}, not {len(operands)}")
    named = dict(zip(row.operands, operands, strict=True))
    numbers = [value for name, value in named.items() if name not in row.integer_operands]
    fmt = _common_format(row, numbers) if numbers else cast(Format, given(target, row))
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


def phase_of(event: Event) -> str:
    """The phase an event belongs to."""
    assert not isinstance(event.statement, Note), "a note is no event"
    return event.statement.phase


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
