"""Routines for what C has not, and for what it does badly on CPUs of narrow words."""

from __future__ import annotations

from softfloat_py.lowering.words import count_words
from softfloat_py.routines.language import (
    Bits,
    Routine,
    add_modulo,
    constant,
    field,
    resize,
    shift_left,
    subtract_modulo,
    unrolled,
)


def product_of_digits(
    first: tuple[Bits, ...], second: tuple[Bits, ...], digit: int, width: int, word: int
) -> Bits:
    """The product, `width` bits, of numbers given by their digits of `digit` bits, lowest first; one row for
    each digit of the second: multiplication by hand. It is put together in words of `word` bits.

    Twice a digit holds every sum: (2^d - 1)² + 2 (2^d - 1) < 2^2d.
    """
    result: tuple[Bits, ...] = ()
    for row in unrolled(len(second)):
        carried = constant(0, 1)
        for index in unrolled(len(first)):
            total = add_modulo(first[index] * second[row], carried, 2 * digit)
            if row + index < len(result):
                total = add_modulo(total, result[row + index], 2 * digit)
            result = (*result[: row + index], field(total, 0, digit), *result[row + index + 1 :])
            carried = total >> digit
        result = (*result, carried)
    return joined(result, digit, width, word)


def joined(digits: tuple[Bits, ...], digit: int, width: int, word: int) -> Bits:
    """The number of these digits, `width` bits in words; a digit above these words is 0, and has no place."""
    total = constant(0, width)
    for index in unrolled(min(len(digits), count_words(width, word) * word // digit)):
        total = resize(total | resize(digits[index] << (index * digit), width), width)
    return total


def cut_into_digits(x: Bits, digit: int) -> tuple[Bits, ...]:
    """x in digits, lowest first."""
    result: tuple[Bits, ...] = ()
    for low in unrolled(0, x.width, digit):
        result = (*result, resize(field(x, low, min(digit, x.width - low)), min(digit, x.width - low)))
    return result


def shift_right_by_words(x: Bits, distance: Bits, word: int) -> Bits:
    """x >> distance, whole words first: where a CPU shifts one place at a time, they are but moves."""
    x, rest = moved_right(x, distance, 0, word)
    return x >> resize(rest, (word - 1).bit_length())


def moved_right(x: Bits, distance: Bits, words: int, word: int) -> tuple[Bits, Bits]:
    """x moved by as many whole words as a distance has, which are `words` or more; and the rest of it."""
    if distance >= (words + 1) * word if words < most_words(x.width, distance, word) else constant(0, 1):
        x, distance = moved_right(x, distance, words + 1, word)
    else:
        x, distance = resize(x >> words * word, x.width), distance - words * word
    return x, distance


def shift_left_by_words(x: Bits, distance: Bits, width: int, word: int) -> Bits:
    """x << distance, which `width` bits hold, whole words first."""
    x, rest = moved_left(x, distance, width, 0, word)
    return shift_left(x, resize(rest, (word - 1).bit_length()), width)


def moved_left(x: Bits, distance: Bits, width: int, words: int, word: int) -> tuple[Bits, Bits]:
    """As `moved_right`, the other way, in `width` bits."""
    if distance >= (words + 1) * word if words < most_words(width, distance, word) else constant(0, 1):
        x, distance = moved_left(x, distance, width, words + 1, word)
    else:
        x, distance = resize(x << words * word, width), distance - words * word
    return x, distance


def most_words(width: int, distance: Bits, word: int) -> int:
    """How many whole words a value of so many bits can be moved by, before nothing is left of it."""
    return min(width - 1, (1 << distance.width) - 1) // word


def counted_up(x: Bits, carry: Bits, word: int) -> Bits:
    """x + carry in a word, wrapping around."""
    if carry:
        x = add_modulo(x, 1, word)
    return x


def counted_down(x: Bits, carry: Bits, word: int) -> Bits:
    """x - carry in a word, wrapping around."""
    if carry:
        x = subtract_modulo(x, 1, word)
    return x


def bits_of_value(x: Bits, place: int, mask: Bits) -> Bits:
    """Some bits of x from a place up, picked out before they are shifted."""
    return (x & (mask << place)) >> place


def bits_of_word(x: Bits, low: int, width: int, place: int, mask: Bits) -> Bits:
    """Some bits of the word of x that begins at a place."""
    return (field(x, low, width) >> place) & mask


# Steps that take in a carry, done by a branch.
BY_BRANCH: dict[str, Routine] = {
    "add": counted_up,
    "add_modulo": counted_up,
    "subtract_modulo": counted_down,
}
