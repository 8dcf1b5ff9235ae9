"""What emitted C may lean on: the word of the CPU it is compiled for, and products left to the compiler."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from softfloat_py.errors import ConventionError
from softfloat_py.lowering.machine import Habits, Machine


class WordFacts(NamedTuple):
    """What C does best on CPUs with words of so many bits, and how that is known.

    `multipliers` are the bits that the factors of a product may have, `usual_multiplier` those of what such
    CPUs multiply by themselves, if they do. Wide values are better shifted one place at a time by up to
    `carry_places`; `unit` is that of `lowering.machine.Habits`.
    """

    multipliers: tuple[int, ...]
    usual_multiplier: int
    carry_places: int
    unit: int
    source: str


_PRACTICE = "common practice, no source"
WORDS = {
    8: WordFacts(
        (0, 8, 16), 8, 4, 8, f"they shift by one place and move whole bytes for nothing: {_PRACTICE}"
    ),
    16: WordFacts(
        (0, 8, 16), 16, 1, 0, "measured on an MC68000: it pays for one place; the rest from practice"
    ),
    32: WordFacts(
        (0, 8, 16, 32), 16, 0, 0, f"they shift by any distance, and keep half a product: {_PRACTICE}"
    ),
    64: WordFacts(
        (0, 8, 16, 32), 32, 0, 0, f"they shift by any distance, and keep half a product: {_PRACTICE}"
    ),
}


@dataclass(frozen=True, slots=True)
class Target:
    """The word of a CPU, and how many bits the factors of a product may have that C's `*` computes.

    Words of 8, 16 or 32 bits: values are cut into `uint32_t`, and no type is wider, except for the product
    of two factors of 32 bits and what is passed in and out. Values that need less are held in the narrowest
    type that is no narrower than the word. With words of 8 and 16 bits, a branch takes a carry on to the next
    word. A CPU of 32 bits that adds 16 at a time, as the MC68000 does, has words of 16 here. Words of 64
    bits: all is `uint64_t`. A `multiplier` of 0 leaves no product to the compiler; quotients of what
    one type holds always are.

    Raises ConventionError where word and multiplier do not go together.
    """

    word: int
    multiplier: int

    def __post_init__(self) -> None:
        if self.word not in WORDS:
            raise ConventionError(f"word must be one of {_listed(tuple(WORDS))} bits, not {self.word!r}")
        if self.multiplier not in WORDS[self.word].multipliers:
            raise ConventionError(
                f"with words of {self.word} bits, the multiplier must be one of "
                f"{_listed(WORDS[self.word].multipliers)} bits, not {self.multiplier!r}"
            )

    def __str__(self) -> str:
        return f"--word {self.word} --multiplier {self.multiplier}"

    @property
    def widest(self) -> int:
        """Bits of the type that wide values are cut into."""
        return 64 if self.word == 64 else 32

    @property
    def narrow(self) -> bool:
        """Whether the CPU's words are not the widest type: there, a wide number made of a condition is dearer
        than a branch.
        """
        return self.word < self.widest

    @property
    def machine(self) -> Machine:
        """What C computes by itself on the widest type; `lowering` does what is then still too much."""
        return Machine(
            word=self.widest,
            carry_flag=False,
            barrel_shifter=True,
            multiplier_bits=self.multiplier,
            dividend_bits=self.widest,
            divisor_bits=self.widest,
            leading_zero_count=False,
            immediate_bits=self.widest,
            habits=Habits(WORDS[self.word].carry_places, WORDS[self.word].unit),
        )

    def type_bits(self, width: int) -> int:
        """Bits of the type that holds a value of `width` bits; what is wider wraps in the widest one."""
        for bits in (8, 16, 32, 64):
            if bits == self.widest or (bits >= self.word and bits >= width):
                return bits
        raise AssertionError("the widest type is among them")


def target_for(word: int, multiplier: int | None = None) -> Target:
    """The target with words of `word` bits; without a multiplier, the one usual for them."""
    usual = WORDS[word].usual_multiplier if word in WORDS else 0
    return Target(word, usual if multiplier is None else multiplier)


def _listed(numbers: tuple[int, ...]) -> str:
    return ", ".join(str(number) for number in numbers)
