"""NaNs and infinities born in arrays; see `births`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines import arrays
from softfloat_py.engines.array_words import WORD, int_of, words_of
from softfloat_py.formats import Format
from softfloat_py.numbers.births import (
    NOTHING,
    Special,
    delivered_format,
    note_at,
    numbers_among,
    special_results,
)
from softfloat_py.operations import OPERATIONS, program_of
from softfloat_py.options import COMPLETE
from softfloat_py.tally import Line, Tally, Work


def note_births(
    tally: Tally, work: Work, line: Line, operands: Sequence[NDArray[Any]], results: NDArray[Any]
) -> None:
    """As `note_birth`, for those elements of arrays of one shape that have a special result."""
    special = special_results(work)
    found = None if special is NOTHING else _special_elements(special, results)
    if found is None:
        return
    results, operands = results[found], [operand[found] for operand in operands]
    delivered = delivered_format(work)
    born = ~_answers("is_finite", delivered, results)
    for place in numbers_among(work.operation):
        born &= _answers("is_finite", work.format, operands[place])
    nan = _answers("is_nan", delivered, results)
    for is_nan, among in ((True, born & nan), (False, born & ~nan)):
        if among.any():
            first = [int_of(operand[among.argmax()].item()) for operand in operands]
            note_at(tally, work, line, first, is_nan, int(among.sum()))


def _special_elements(special: Special, results: NDArray[Any]) -> NDArray[Any] | None:
    """Where results are special, or may be (their highest word is), or None for nowhere."""
    *lower, highest = words_of(results)
    magnitude, lowest = (bits >> WORD * len(lower) for bits in special)
    return (highest & magnitude) >= lowest if _any_special(highest, magnitude, lowest) else None


def _any_special(words: NDArray[Any], magnitude: int, lowest: int) -> bool:
    sign = magnitude + 1
    if 2 * sign < 1 << 8 * words.itemsize:
        return bool(_largest(words & magnitude) >= lowest)
    # The sign is the highest bit of the element, so that nothing needs to be cut off, which takes longest.
    return bool(_largest(words.view(f"i{words.itemsize}")) >= lowest or _largest(words) >= sign + lowest)


def _largest(words: NDArray[Any]) -> Any:
    return np.maximum.reduce(words, None, initial=0)


def _answers(question: str, fmt: Format, bits: NDArray[Any]) -> NDArray[Any]:
    program = program_of(OPERATIONS[question], fmt, COMPLETE)
    return arrays.compiled(program).run((bits,), 0, keep_counts=False).results[0]
