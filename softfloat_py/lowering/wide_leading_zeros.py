"""Counting leading zeros of values of several words, with and without an instruction for it.

The highest word that is not zero is found first. In it, a machine without the instruction halves: if the
upper half is zero, that many zeros are counted and the lower half takes its place. Common practice, no
source.
"""

from __future__ import annotations

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.wide_addition import add, subtract
from softfloat_py.lowering.wide_shifts import shift_left_constant
from softfloat_py.lowering.words import fitted, total_width
from softfloat_py.routines.language import Bits, constant, count_leading_zeros, field, resize, unrolled
from softfloat_py.routines.lowering_words import low_word


def leading_zeros(x: tuple[Bits, ...], machine: Machine) -> Bits | tuple[Bits, ...]:
    """Zero bits above the highest set bit of x, all of them if there is none; several words only where the
    number may need them.
    """
    word = machine.word
    unused = word - x[len(x) - 1].width
    bits = (len(x) * word).bit_length()
    if bits > word:
        return zeros_in_words(x, unused, bits, machine)
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


def zeros_in_words(x: tuple[Bits, ...], unused: int, bits: int, machine: Machine) -> tuple[Bits, ...]:
    """As `leading_zeros`, `bits` wide until the `unused` ones of the highest word are taken off: words of
    zeros are counted, and put above the zeros within a word.
    """
    word = machine.word
    full = fitted(x, len(x) * word, word)
    chosen = full[len(full) - 1]
    words = constant(0, word)
    for index in unrolled(len(full) - 2, -1, -1):
        if chosen == 0:
            chosen = full[index]
            words = resize(words + 1, word)
    in_word = count_leading_zeros(chosen) if machine.leading_zero_count else zeros_by_halving(chosen)
    of_words = shift_left_constant((words,), word.bit_length() - 1, bits, machine)
    total = add(of_words, (in_word,), bits, machine)
    return subtract(total, (constant(unused, word),), total_width(x, word).bit_length(), machine)


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
