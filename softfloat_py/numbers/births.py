"""NaNs and infinities that an operation makes of operands that are none: noted, not counted.

Every result is looked at, since neither the flags nor the way through the program tells: options may keep no
flags, next_up raises none, and the overflow of a directed rounding is one way to infinity and to the largest
finite number. Encodings of magnitudes are in the order of their values, so one comparison finds a result that
is special; only then are the operands looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple, cast

from softfloat_py.environment import Flags
from softfloat_py.keeping import kept
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import Operation
from softfloat_py.tally.tally import Birth, Line, Tally
from softfloat_py.uses import Use

# Sign operations, minimum and maximum deliver an operand, or that with another sign.
BEARING_NOTHING = ("5.5.1", "9.6")
# What raises none of the flags that come with a special result of finite operands.
SILENT = ("next_up", "next_down")
TELLING = int(Flags.INVALID_OPERATION | Flags.DIVISION_BY_ZERO | Flags.OVERFLOW)


class Special(NamedTuple):
    """How special results are found: those whose encoding, cut to its magnitude, is at least `lowest`."""

    magnitude: int
    lowest: int


NOTHING = Special(0, 1)


@kept
def special_results(use: Use) -> Special:
    """What is special among the results of an operation: nothing where none can be born."""
    delivered = use.delivered
    if delivered is None or use.operation.clause in BEARING_NOTHING:
        return NOTHING
    return Special(*delivered.special_magnitudes)


def flags_tell(use: Use) -> bool:
    """Whether no special result comes of finite operands without a flag of those TELLING of it."""
    return use.options.flags and use.operation.name not in SILENT


def note_birth(tally: Tally, use: Use, line: Line, operands: Sequence[int], result: int) -> None:
    """Note the birth of a special result from encodings, unless one of them is special too.

    Of two results the first is enough: an augmented operation delivers what is special twice.
    """
    assert use.delivered is not None, "nothing else is born"
    if all(use.format.is_finite(operands[place]) for place in numbers_among(use.operation)):
        note_at(tally, use, line, operands, use.delivered.is_nan(result), 1)


def note_at(tally: Tally, use: Use, line: Line, operands: Sequence[int], is_nan: bool, times: int) -> None:
    """Note births at a line; the operands are those of one of them."""
    kind, operation = "NaN" if is_nan else "infinity", use.operation.name
    known = tally.notes.first_birth(line, kind, operation)
    tally.notes.birth(known or Birth(line, kind, operation, _texts(use, operands)), times)


def _texts(use: Use, operands: Sequence[int]) -> tuple[str, ...]:
    """Operands as a report shows them."""
    fmt = cast(ValueSystem, use.format)
    numbers = numbers_among(use.operation)
    return tuple(
        fmt.text(bits) if place in numbers else str(_integer(use, bits))
        for place, bits in enumerate(operands)
    )


def _integer(use: Use, bits: int) -> int:
    integer = use.integer
    return bits - (integer.signed and bits >> integer.width - 1) * (1 << integer.width)


@cache
def numbers_among(operation: Operation) -> tuple[int, ...]:
    """The places of the operands that are encodings, which integers are not."""
    integers = operation.integer_operands
    return tuple(place for place, name in enumerate(operation.operands) if name not in integers)
