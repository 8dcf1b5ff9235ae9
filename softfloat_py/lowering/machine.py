"""What the lowering must know of a CPU, how wide its words are and which steps it has, and of a compiler."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from softfloat_py.errors import CostModelError
from softfloat_py.keeping import HashedOnce, hashed_once

WORDS = (4, 8, 16, 32, 64)
_FLAGS = (
    "carry_flag",
    "barrel_shifter",
    "leading_zero_count",
    "shifted_immediates",
    "shifted_operands",
    "conditional_execution",
    "results_set_flags",
)
_WIDTHS = ("bit_field_bits", "multiplier_bits", "immediate_bits", "upper_immediate_bits", "divisor_bits")


@dataclass(frozen=True, slots=True)
class Habits:
    """What compiled code does with values of several words, where a CPU alone would do something else.

    `carry_places`: where there is a barrel shifter, they are still shifted through the carry, one place at a
    time, by up to so many places. `unit`: they move by multiples of so many bits at little cost; 0 for no
    less than a word. `carry_reach`: a carry goes on from word to word within so many bits, those of a
    language's widest type; 0 for any number. `address_bits`: an entry of a table is loaded from an address of
    so many bits, which steps make; 0 for a language, which reads a table by its index. `digit_rows`: products
    are put together row by row, in sums of two digits, as emitted C does it for narrow words. `shifts_apart`:
    C for words of so many bits shifts by whole words and by the rest apart, where a narrower type has room
    for what is left; 0 for what shifts at once.
    """

    carry_places: int = 0
    unit: int = 0
    carry_reach: int = 0
    address_bits: int = 0
    digit_rows: bool = False
    shifts_apart: int = 0

    def faults(self, word: int) -> Iterator[str]:
        """What is not legal with words of so many bits."""
        for key in ("carry_places", "unit"):
            value = getattr(self, key)
            if type(value) is not int or not 0 <= value <= word:
                yield f"{key} must be a whole number from 0 to {word}, the word, not {value!r}"
            elif key == "unit" and value and word % value:
                yield f"unit must divide the word of {word} bits, not be {value!r}"
        for key in ("carry_reach", "address_bits"):
            value = getattr(self, key)
            if type(value) is not int or value < 0 or value % word:
                yield f"{key} must be a multiple of {word}, the word, not {value!r}"


@dataclass(frozen=True, slots=True)
class Machine(HashedOnce):
    """Abilities of a CPU's integer side.

    `word`: bits of a register. CPUs have 8, 16 or 32; 64 is for the array engine and for C, 4 for checking
    expansions on every operand there is. `carry_flag`: additions and one-place shifts can take a carry in and
    give one out. `barrel_shifter`: one instruction shifts a word by any distance, fixed or in a register,
    even where its time grows with the distance. `multiplier_bits`: widest w for which a native product w x w
    → 2w exists, 0 for none. `leading_zero_count`: one instruction counts the leading zeros of a word.
    `immediate_bits`: a constant of up to so many significant bits costs nothing beside its step.
    `upper_immediate_bits`: a constant that has bits set in the top so many of a word alone takes one step of
    its own, as a move does. `dividend_bits`, `divisor_bits`: the widest operands of a native division, whose
    quotient may be as wide as the divisor; 0 for none. `shifted_immediates`: immediates stand anywhere in a
    word, and instructions take their complement or negative as well. `shifted_operands`: an instruction may
    take an operand shifted by a constant. `bit_field_bits`: one instruction extracts a field of up to so many
    bits from any place; 0 for none. `conditional_execution`: any instruction may be done on a condition.
    `results_set_flags`: sums, logic and shifts leave in the flags whether they gave zero. `habits` are those
    of the compiler; by itself, the CPU has none.

    Raises CostModelError listing every field that is not legal.
    """

    word: int
    carry_flag: bool
    barrel_shifter: bool
    multiplier_bits: int
    leading_zero_count: bool
    immediate_bits: int
    upper_immediate_bits: int = 0
    dividend_bits: int = 0
    divisor_bits: int = 0
    shifted_immediates: bool = False
    shifted_operands: bool = False
    bit_field_bits: int = 0
    conditional_execution: bool = False
    results_set_flags: bool = False
    habits: Habits = Habits()

    def __post_init__(self) -> None:
        faults = list(self._faults())
        if faults:
            raise CostModelError("of a machine", faults)

    def _faults(self) -> Iterator[str]:
        for flag in _FLAGS:
            value = getattr(self, flag)
            if type(value) is not bool:
                yield f"{flag} must be true or false, not {value!r}"
        if self.word not in WORDS:
            yield f"word must be one of {', '.join(map(str, WORDS))} bits, not {self.word!r}"
            return
        for width in _WIDTHS:
            value = getattr(self, width)
            if type(value) is not int or not 0 <= value <= self.word:
                yield f"{width} must be a whole number from 0 to {self.word}, the word, not {value!r}"
        legal = {self.divisor_bits, 2 * self.divisor_bits} if type(self.divisor_bits) is int else set[int]()
        if type(self.dividend_bits) is not int or self.dividend_bits not in legal:
            yield f"dividend_bits must be divisor_bits, or twice as many, not {self.dividend_bits!r}"
        yield from self.habits.faults(self.word)

    def divides(self, dividend: int, divisor: int, quotient: int) -> bool:
        """Whether there is a native division of operands of these widths, for a quotient of that."""
        return dividend <= self.dividend_bits and max(divisor, quotient) <= self.divisor_bits

    def only_with(self, abilities: Iterable[str]) -> Machine:
        """A machine of the same word with some of the abilities, and neither the others nor immediates."""
        kept = {ability: getattr(self, ability) for ability in abilities}
        return replace(_bare(self.word), **kept)

    __hash__ = hashed_once

    def goes_in_parts(self, width: int) -> bool:
        """Whether a value of so many bits is wider than carries reach."""
        return self.carry_flag and 0 < self.habits.carry_reach < width

    @property
    def folds(self) -> bool:
        """Whether some steps go into others, in one instruction."""
        return self.shifted_operands or self.bit_field_bits > 0

    @property
    def moved_by(self) -> int:
        """Values of several words move by multiples of so many bits at little cost."""
        return self.habits.unit or self.word

    @property
    def shifts_by_places(self) -> bool:
        """Whether shifts of several words always go one place at a time."""
        return not self.barrel_shifter or self.habits.carry_places >= self.moved_by // 2


def _bare(word: int) -> Machine:
    """A machine that has its words and nothing else."""
    return Machine(
        word,
        carry_flag=False,
        barrel_shifter=False,
        multiplier_bits=0,
        leading_zero_count=False,
        immediate_bits=0,
    )
