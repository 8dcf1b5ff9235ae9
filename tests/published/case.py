"""The shape of a worked example: encodings in, encoding and flags out, and where it was published."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format


class Case(NamedTuple):
    """An operation of one format; `result` is an encoding, a pair of them, or 0 or 1 for a predicate."""

    operation: str
    format: Format
    rounding: Rounding
    operands: tuple[int, ...]
    result: int | tuple[int, int]
    flags: Flags
    source: str


class FormatConversion(NamedTuple):
    """A conversion from an encoding of one format to an encoding of another."""

    origin: Format
    target: Format
    rounding: Rounding
    operand: int
    result: int
    flags: Flags
    source: str


class ToInteger(NamedTuple):
    """A conversion from an encoding to the integer `result`."""

    format: Format
    rounding: Rounding
    integer: IntegerFormat
    operand: int
    result: int
    flags: Flags
    source: str


class FromInteger(NamedTuple):
    """A conversion from the integer `operand` to an encoding."""

    format: Format
    rounding: Rounding
    integer: IntegerFormat
    operand: int
    result: int
    flags: Flags
    source: str


# Short names for the tables; overflow and underflow come with inexact (clauses 7.4 and 7.5).
NONE = Flags.NONE
INVALID = Flags.INVALID_OPERATION
BY_ZERO = Flags.DIVISION_BY_ZERO
INEXACT = Flags.INEXACT
OVERFLOW = Flags.OVERFLOW | Flags.INEXACT
UNDERFLOW = Flags.UNDERFLOW | Flags.INEXACT

EVEN, AWAY, UP, DOWN, ZERO = Rounding


def in_directions(
    directions: Iterable[Rounding],
    operation: str,
    fmt: Format,
    operands: tuple[int, ...],
    result: int | tuple[int, int],
    flags: Flags,
    source: str,
) -> list[Case]:
    """One case for each direction, all with the same outcome."""
    return [Case(operation, fmt, rounding, operands, result, flags, source) for rounding in directions]
