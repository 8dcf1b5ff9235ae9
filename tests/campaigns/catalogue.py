"""What is campaigned: functions, what they take and how their graphs run; and operands, by format."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from softfloat_py.numbers.formats import KNOWN_FORMATS, Format
from softfloat_py.operations import OPERATIONS


class Kind(Enum):
    """What a function takes."""

    NUMBER = "a number"
    PAIR = "two numbers"
    WITH_INTEGER = "a number and an integer"


class Operands(Enum):
    """Which operands; the names are those of `operands.h`."""

    EVERY_NUMBER = "every one"
    EVERY_PAIR = "every pair"
    DRAWN_NUMBER = "drawn"
    DRAWN_PAIR = "drawn pairs"
    EVERY_WITH_INTEGERS = "every one with 256 integers"
    DRAWN_WITH_INTEGERS = "drawn, with integers"


@dataclass(frozen=True, slots=True)
class Function:
    """A function by the name of its operation.

    `order` is 1 where results never fall as the operand rises, -1 where they never rise, for operands that
    have a result and, of an even function, from 0 on; `symmetry` is -1 for an odd function, 1 for an even
    one. 0: neither.
    """

    name: str
    kind: Kind
    order: int = 0
    symmetry: int = 0


_RISING = (
    "square_root", "exp", "expm1", "exp2", "exp2m1", "exp10", "exp10m1",
    "log", "logp1", "log2", "log2p1", "log10", "log10p1", "acosh",
)  # fmt: skip
_FALLING = ("r_sqrt", "acos", "acos_pi")
_RISING_AND_ODD = ("sinh", "tanh", "asinh", "atanh", "asin", "asin_pi", "atan", "atan_pi")
_ODD = ("sin", "tan", "sin_pi", "tan_pi")
_EVEN = ("cos", "cos_pi")
_OF_PAIRS = ("hypot", "pow", "powr", "atan2", "atan2_pi")
_WITH_INTEGERS = ("compound", "rootn", "pown")

FUNCTIONS = {
    function.name: function
    for function in (
        *(Function(name, Kind.NUMBER, order=1) for name in _RISING),
        *(Function(name, Kind.NUMBER, order=-1) for name in _FALLING),
        *(Function(name, Kind.NUMBER, order=1, symmetry=-1) for name in _RISING_AND_ODD),
        *(Function(name, Kind.NUMBER, symmetry=-1) for name in _ODD),
        *(Function(name, Kind.NUMBER, symmetry=1) for name in _EVEN),
        Function("cosh", Kind.NUMBER, order=1, symmetry=1),
        *(Function(name, Kind.PAIR) for name in _OF_PAIRS),
        *(Function(name, Kind.WITH_INTEGER) for name in _WITH_INTEGERS),
    )
}
FORMATS = {name: KNOWN_FORMATS[name] for name in ("binary16", "bfloat16", "binary64", "binary32")}
BLOCK = 1 << 22  # operands that are checked together, where doubles know nearly all results
SMALL_BLOCK = 1 << 14  # where all are decided in multiple precision
INTEGERS = 256  # that every number is combined with


@dataclass(frozen=True, slots=True)
class Campaign:
    """A function in a format, on some operands: `blocks` blocks of `size`.

    Where every operand is checked, a block has every so manieth of them: so each block is a sample of all.
    """

    function: Function
    format: Format
    operands: Operands
    blocks: int
    size: int

    @property
    def name(self) -> str:
        """What is checked, in words."""
        return f"{self.function.name} {self.format.name} {self.operands.value}"

    @property
    def is_known_to_doubles(self) -> bool:
        """Whether doubles decide nearly all results: the approximations are for numbers of so many bits."""
        return self.format.precision <= 24

    def block(self, number: int) -> tuple[int, int]:
        """The number of a block's first operands, and the stride to the next."""
        if self.operands.name.startswith("EVERY"):
            return number, self.blocks
        return number * self.size, 1


def campaign(function: Function, fmt: Format) -> Campaign:
    """The campaign of a function in a format: every operand where there are no more than 2^32 of them."""
    every, drawn = {
        Kind.NUMBER: (Operands.EVERY_NUMBER, Operands.DRAWN_NUMBER),
        Kind.PAIR: (Operands.EVERY_PAIR, Operands.DRAWN_PAIR),
        Kind.WITH_INTEGER: (Operands.EVERY_WITH_INTEGERS, Operands.DRAWN_WITH_INTEGERS),
    }[function.kind]
    all_there_are = {
        Kind.NUMBER: 1 << fmt.width,
        Kind.PAIR: 1 << 2 * fmt.width,
        Kind.WITH_INTEGER: INTEGERS << fmt.width,
    }[function.kind]
    if all_there_are <= 1 << 32:
        size = min(BLOCK, all_there_are)
        return Campaign(function, fmt, every, all_there_are // size, size)
    wanted, size = 10**10, BLOCK
    if not Campaign(function, fmt, drawn, 1, 1).is_known_to_doubles:
        wanted, size = (10**7 if function.kind is Kind.NUMBER else 10**6), SMALL_BLOCK
    return Campaign(function, fmt, drawn, -(-wanted // size), size)


def campaigns(functions: list[str], formats: list[str]) -> list[Campaign]:
    """Those of some functions that the library has, in some formats, short ones first."""
    there = [FUNCTIONS[name] for name in functions if name in OPERATIONS]
    chosen = [campaign(function, fmt) for fmt in map(FORMATS.__getitem__, formats) for function in there]
    return sorted(chosen, key=lambda each: each.blocks * each.size)
