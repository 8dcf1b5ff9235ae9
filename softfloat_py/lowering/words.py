"""Values of several words."""

from __future__ import annotations

from softfloat_py.routines.language import Bits, constant, field, resize, unrolled
from softfloat_py.routines.lowering_words import low_word


def count_words(width: int, word: int) -> int:
    """How many words hold `width` bits."""
    return -(-width // word)


def word_widths(width: int, word: int) -> tuple[int, ...]:
    """The widths of the words that hold `width` bits, lowest first; only the last may be less than a word."""
    return tuple(min(word, width - index * word) for index in range(count_words(width, word)))


def total_width(x: tuple[Bits, ...], word: int) -> int:
    """The width of a value of several words."""
    return (len(x) - 1) * word + x[len(x) - 1].width


def bit_at(x: tuple[Bits, ...], place: int, word: int) -> Bits:
    """One bit of a value of several words."""
    return field(x[place // word], place % word, 1)


def word_at(x: tuple[Bits, ...], index: int) -> Bits:
    """A word of x, zero where x has none."""
    return x[index] if 0 <= index < len(x) else constant(0, 1)


def words_at(x: tuple[Bits, ...], first: int, count: int) -> tuple[Bits, ...]:
    """So many words of x, zero where x has none."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(first, first + count):
        result = (*result, word_at(x, index))
    return result


def fitted(x: tuple[Bits, ...], width: int, word: int) -> tuple[Bits, ...]:
    """x in exactly `width` bits, which must hold it: words added or left away above."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, word)):
        room = min(word, width - index * word)
        result = (*result, resize(word_at(x, index), room))
    return result


def cut(x: tuple[Bits, ...], width: int, word: int) -> tuple[Bits, ...]:
    """The lowest `width` bits of x, which must have that many words."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, word)):
        room = min(word, width - index * word)
        result = (*result, resize(low_word(word_at(x, index), room), room))
    return result
