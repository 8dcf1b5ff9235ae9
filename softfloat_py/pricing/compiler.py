"""How compilers use a CPU: the habits that the rules of pricing ask about, each with its source.

They come from `costmodels/compilers`, a file a compiler; a model's own table says where its CPU differs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from softfloat_py.engines.c.target import WORDS
from softfloat_py.lowering.machine import Habits, Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.figures import Origin, Quantity, refuse

LEAST_WIDE_WORD = 32  # C for narrower ones multiplies row by row, and nothing is quicker by hand
NARROW_WORDS = tuple(word for word in WORDS if word < LEAST_WIDE_WORD)  # that C is written for
PARTS_OF_A_WORD = (8, 16)  # that code without types takes by themselves
LEAST_ADDRESS_BITS = 16  # of what has as many as a word where words have more: common practice, no source


@dataclass(frozen=True, slots=True)
class CompiledBy:
    """What made the code that a model describes: a compiler with its options, or a hand."""

    id: str
    title: str
    about: str


@dataclass(frozen=True, slots=True)
class IntegerTypes:
    """Bits of the integer types that values are held in, narrowest first; none where code is written for the
    words of a CPU.
    """

    bits: tuple[int, ...]
    origin: Origin

    def __post_init__(self) -> None:
        refuse("of integer types", self._faults())

    def _faults(self) -> Iterator[str]:
        rising = all(narrower < wider for narrower, wider in pairwise(self.bits))
        if not (rising and all(map(_are_whole_bytes, self.bits))):
            yield f"bits must be whole bytes, narrowest first, not {list(self.bits)!r}"

    def on(self, word: int) -> tuple[int, ...]:
        """Bits of the types on a CPU with words of so many: these themselves where there are no types."""
        return self.bits or (word,)

    def bits_for(self, width: int, word: int) -> int:
        """Bits of the narrowest type that holds a value of so many, or of several of the widest."""
        types = self.on(word)
        return next((bits for bits in types if width <= bits), count_words(width, types[-1]) * types[-1])

    def wrapping_bits(self, width: int, word: int) -> int:
        """The fewest bits that hold a value of so many and in which sums wrap around by themselves."""
        parts = self.bits or tuple(bits for bits in PARTS_OF_A_WORD if bits < word)
        return next((bits for bits in parts if width <= bits), self.bits_for(width, word))


def _are_whole_bytes(bits: float) -> bool:
    return bits > 0 and bits % 8 == 0


@dataclass(frozen=True, slots=True)
class Limits:
    """The lowest and the highest that a fitted figure may be."""

    lowest: float
    highest: float
    origin: Origin

    def __post_init__(self) -> None:
        refuse("of limits", self._faults())

    def _faults(self) -> Iterator[str]:
        if self.highest < self.lowest:
            yield f"highest must be at least lowest ({self.lowest!r}), not {self.highest!r}"


@dataclass(frozen=True, slots=True)
class Compiler:
    """What compiled code does with values, whatever they are for.

    A value is held in the narrowest of the `types`, or cut into several of the widest; without types, in as
    many words as it takes. One that finds no register is put away whole, `put_away_bits` at a time. Each
    word that a product takes the register of is moved `moves_around_a_product` times. A carry goes from word
    to word within the widest type, and beyond it where there are `carries_between_words`. A loop of fixed
    length is written out where a round takes no more than `unrolled_steps`. `moves_a_step` limits what a fit
    may ascribe to the compiler, in moves for each native step. Products that are not left to the compiler are
    shifts and additions in C. Where there is a `word_of_c`, native steps are operations of C on whole types,
    in C that is written for words of so many bits; what one makes for one other alone saves
    `moves_saved_in_expressions`.
    """

    types: IntegerTypes
    put_away_bits: Quantity
    moves_around_a_product: Quantity
    unrolled_steps: Quantity
    word_of_c: Quantity
    moves_saved_in_expressions: Quantity
    moves_a_step: Limits
    carries_between_words: bool
    products_left_to_the_compiler: bool

    def __post_init__(self) -> None:
        refuse("of a compiler", self._faults())

    def _faults(self) -> Iterator[str]:
        bits = self.put_away_bits.value
        if self.types.bits and bits not in self.types.bits:
            yield f"put_away_bits.value must be the bits of a type, not {bits!r}"
        elif not _are_whole_bytes(bits):
            yield f"put_away_bits.value must be whole bytes, not {bits!r}"
        for key in ("moves_around_a_product", "unrolled_steps", "moves_saved_in_expressions"):
            value = getattr(self, key).value
            if value < 0:
                yield f"{key}.value must be 0 or more, not {value!r}"
        if self.word_of_c.value not in (0, *NARROW_WORDS):
            narrow = " or ".join(map(str, NARROW_WORDS))
            yield f"word_of_c.value must be {narrow}, or 0 for none, not {self.word_of_c.value!r}"

    @property
    def has_whole_types(self) -> bool:
        """Whether native steps are operations of C on whole types, and not instructions on words."""
        return self.word_of_c.value > 0

    def machine(self, cpu: Machine) -> Machine:
        """The machine that compiled code makes of a CPU."""
        if not self.products_left_to_the_compiler:
            cpu = replace(cpu, multiplier_bits=0)
        if self.has_whole_types:
            carry = cpu.carry_flag and self.carries_between_words
            word = int(self.word_of_c.value)
            best = WORDS[word]
            habits = Habits(best.carry_places, best.unit, digit_rows=True, shifts_apart=word)
            return replace(cpu, carry_flag=carry, habits=habits)
        habits = Habits(address_bits=max(cpu.word, LEAST_ADDRESS_BITS), digit_rows=cpu.word < LEAST_WIDE_WORD)
        widest = self.types.on(cpu.word)[-1]
        if cpu.word < widest:
            return replace(cpu, habits=replace(habits, carry_reach=widest))
        return replace(cpu, carry_flag=cpu.carry_flag and self.carries_between_words, habits=habits)

    def faults_of_word(self, word: int) -> Iterator[str]:
        """What is wrong with the types on a CPU with words of so many bits."""
        widest = self.types.on(word)[-1]
        if widest > word and widest % word:
            yield f"compiler.types.bits must end in whole words of {word} bits or within one, not in {widest}"

    def faults_of_moves(self, moves: float) -> Iterator[str]:
        """What is wrong with moves for each native step that are said to be beyond the rules."""
        limits = self.moves_a_step
        if not limits.lowest <= moves <= limits.highest:
            yield (
                f"surrounding_code.moves_a_step.value must be moves a step, from {limits.lowest} to "
                f"{limits.highest}, not {moves!r}"
            )
