"""What a program takes and delivers, in no engine's words: what each value is, and what surrounds a call.

An engine that leaves Python turns a signature into its own types and its own way of passing values.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

RESULTS = ("result", "error")  # the names of what is delivered


class Meaning(Enum):
    """What a value is."""

    NUMBER = "the encoding of a number"
    UNSIGNED = "an unsigned integer"
    SIGNED = "a two's complement integer"
    TRUTH = "true or false"


@dataclass(frozen=True, slots=True)
class Value:
    """An operand or a result of `width` bits; `format` is the name of its format, where it has one."""

    name: str
    width: int
    meaning: Meaning
    format: str = ""


@dataclass(frozen=True, slots=True)
class Signature:
    """The operands and results of a program, in its own order.

    Where it takes the rounding direction, that is its last parameter; where it keeps flags, its last result.
    """

    operands: tuple[Value, ...]
    results: tuple[Value, ...]
    takes_direction: bool
    keeps_flags: bool
