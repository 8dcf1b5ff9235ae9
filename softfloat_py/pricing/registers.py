"""How much of what is needed at once the registers of a CPU hold, and what a step has to move for that."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from softfloat_py.integer_form.grammar import Operand, Step
from softfloat_py.lowering.words import count_words

TYPES = (8, 16, 32)  # bits of the integer types that compilers hold values in
WIDEST_TYPE = TYPES[-1]
COMMUTATIVE = ("add", "and", "or", "xor", "multiply")


class Registers(NamedTuple):
    """Words that instructions work on, further ones that a move brings there, and the words of a value of the
    widest type, which is put away whole.
    """

    working: int
    parking: int
    value: int = 1

    def shares_beyond(self, held: int) -> tuple[float, float]:
        """The shares of so many words that are parked, and that lie in memory.

        As many values are put away as leave room for the rest and for one that is brought back, but for its
        first word, which comes as an operand (the same share for all values: common practice, no source).
        """
        if held <= self.working:
            return 0.0, 0.0
        missing = held - self.working + self.value - 1
        beyond = min(count_words(missing, self.value) * self.value, held)
        parked = min(beyond, self.parking)
        return parked / held, (beyond - parked) / held

    def put_away(self, needed: int, others: int) -> tuple[int, int]:
        """How many of the others are parked and put into memory, for registers to hold the words needed."""
        beyond = min(max(needed + others - self.working, 0), others)
        parked = min(beyond, self.parking)
        return parked, beyond - parked


class Beside(NamedTuple):
    """Words copied, words parked elsewhere and brought back, and words brought from memory or put there,
    beside a step, on average.
    """

    copied: float
    parked: float
    spilled: float


def words_of_type(width: int, word: int) -> int:
    """Words of the integer type, or types, that compilers hold a value in."""
    for bits in TYPES:
        if width <= bits:
            return count_words(bits, word)
    return count_words(width, WIDEST_TYPE) * count_words(WIDEST_TYPE, word)


def is_copied(step: Step, overwrites: tuple[str, ...], is_needed_after: Callable[[Operand], bool]) -> bool:
    """Whether a step's first operand is copied before the result takes its place: it is needed later, and the
    step may not as well overwrite the second.
    """
    first, *others = step.operands
    if step.kind.counted_as not in overwrites or not is_needed_after(first):
        return False
    return step.kind.counted_as not in COMMUTATIVE or any(is_needed_after(other) for other in others)


def words_written(step: Step, word: int) -> int:
    """Words of a native step's result: two of a product. A carry is in a flag, and so is the outcome of a
    comparison.
    """
    if step.kind.counted_as == "compare":
        return 0
    return count_words(step.target.width, word) if step.kind.counted_as == "multiply" else 1
