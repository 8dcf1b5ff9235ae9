"""NaNs and infinities born in arrays; see `births`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines import arrays
from softfloat_py.engines.arrays.words import WORD, int_of, words_of
from softfloat_py.keeping import kept
from softfloat_py.number_systems import NumberSystem
from softfloat_py.numbers.births import (
    NOTHING,
    TELLING,
    Special,
    flags_tell,
    note_at,
    numbers_among,
    special_results,
)
from softfloat_py.operations import OPERATIONS
from softfloat_py.tally.tally import Line, Tally
from softfloat_py.uses import Use, use_of


class SpecialResults:
    """Results that are special, or may be (the highest word of their magnitude is), watched for in a run."""

    def __init__(self, special: Special, words: int) -> None:
        self.magnitude, self.lowest = (bits >> WORD * (words - 1) for bits in special)

    def is_reached(self, results: NDArray[Any]) -> bool:
        """Whether one of some results is one."""
        *_, highest = words_of(results)
        sign = self.magnitude + 1
        if 2 * sign < 1 << 8 * highest.itemsize:
            return bool(_largest(highest & self.magnitude) >= self.lowest)
        # The sign is the highest bit of the element: nothing needs to be cut off, which takes longest.
        positive = highest.view(f"i{highest.itemsize}")
        return bool(_largest(positive) >= self.lowest or _largest(highest) >= sign + self.lowest)

    def places(self, results: NDArray[Any]) -> NDArray[np.bool_]:
        """Where they are."""
        *_, highest = words_of(results)
        found: NDArray[np.bool_] = (highest & self.magnitude) >= self.lowest
        return found


@kept
def special_array_results(use: Use) -> SpecialResults | None:
    """What to look for among the results of an operation; None where nothing can be born."""
    special = special_results(use)
    if special is NOTHING or use.delivered is None:
        return None
    return SpecialResults(special, -(-use.delivered.width // WORD))


def watched_for(use: Use) -> SpecialResults | None:
    """What a run has to look for; None where nothing can be born, or where the flags will tell."""
    return None if flags_tell(use) else special_array_results(use)


def may_be_born(use: Use, outcome: arrays.Outcome) -> bool:
    """Whether a run may have special results of operands that are none."""
    return outcome.reached or (flags_tell(use) and bool(outcome.flags & TELLING))


def note_births(
    tally: Tally, use: Use, line: Line, operands: Sequence[NDArray[Any]], results: NDArray[Any]
) -> None:
    """As `note_birth`, for those elements of arrays of one shape that have a special result."""
    special = special_array_results(use)
    delivered = use.delivered
    if special is None or delivered is None:
        return
    found = special.places(results)
    results, operands = results[found], [operand[found] for operand in operands]
    born = ~_answers("is_finite", delivered, results)
    for place in numbers_among(use.operation):
        born &= _answers("is_finite", use.format, operands[place])
    nan = _answers("is_nan", delivered, results)
    for is_nan, among in ((True, born & nan), (False, born & ~nan)):
        if among.any():
            first = [int_of(operand[among.argmax()].item()) for operand in operands]
            note_at(tally, use, line, first, is_nan, int(among.sum()))


def _largest(words: NDArray[Any]) -> Any:
    return np.maximum.reduce(words, None, initial=0)


def _answers(question: str, fmt: NumberSystem, bits: NDArray[Any]) -> NDArray[Any]:
    program = use_of(OPERATIONS[question], fmt).program
    return arrays.compiled(program).run((bits,), 0, keep_counts=False).results[0]
