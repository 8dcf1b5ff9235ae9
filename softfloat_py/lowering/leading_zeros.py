"""Counting leading zeros of values of several words, with and without an instruction for it.

The highest word that is not zero is found first. In it, a machine without the instruction halves: if the
upper half is zero, that many zeros are counted and the lower half takes its place. Common practice, no
source.
"""

from __future__ import annotations

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import fitted
from softfloat_py.routines.language import (
    Bits,
    constant,
    count_leading_zeros,
    field,
    low_word,
    resize,
    unrolled,
)


def leading_zeros(x: tuple[Bits, ...], machine: Machine) -> Bits:
    """Zero bits above the highest set bit of x, all of them if there is none."""
    word = machine.word
    unused = word - x[len(x) - 1].width
    bits = (len(x) * word).bit_length()
    full = fitted(x, len(x) * word, word)
    chosen = full[len(full) - 1]
    zeros = constant(0, bits)
    for index in unrolled(len(full) - 2, -1, -1):
        if chosen == 0:
            chosen = full[index]
            zeros = resize(zeros + word, bits)
    in_word = count_leading_zeros(chosen) if machine.leading_zero_count else zeros_by_halving(chosen)
    total = zeros + in_word if len(x) > 1 else in_word
    return resize(total - unused, (len(x) * word - unused).bit_length())


def zeros_by_halving(x: Bits) -> Bits:
    """Zero bits above the highest set bit of a word whose width is a power of two."""
    bits = x.width.bit_length()
    zeros = constant(0, bits)
    half = x.width // 2
    for _ in unrolled(x.width.bit_length() - 1):
        if x < (1 << (x.width - half)):
            zeros = resize(zeros + half, bits)
            x = low_word(x << half, x.width)
        half = half // 2
    return resize(zeros + (field(x, x.width - 1, 1) == 0), bits)
