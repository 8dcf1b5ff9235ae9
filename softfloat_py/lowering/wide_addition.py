"""Sums and differences of several words.

With a carry flag each word takes one step. Without one, a carry is found by comparing: a sum that wrapped
around is less than what was added (common practice, no source). Where the carry does not go on beyond some
bits, values are added in parts of so many, and a branch takes the carry from part to part.
"""

from __future__ import annotations

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words, cut, fitted, word_at, words_at
from softfloat_py.routines.language import Bits, add_modulo, constant, move, resize, subtract_modulo, unrolled
from softfloat_py.routines.lowering_words import add_with_carry, high_word, low_word, subtract_with_borrow


def add(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """x + y, which `width` bits hold."""
    return fitted(sums(x, y, width, machine), width, machine.word)


def add_wrapping(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """x + y in `width` bits; what does not fit is lost."""
    return cut(sums(x, y, width, machine), width, machine.word)


def sums(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """The words of x + y, as many as `width` bits take; the highest may hold more than its share of them."""
    if machine.goes_in_parts(width):
        return sums_in_parts(x, y, width, machine)
    carry = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, machine.word)):
        total, carry = add_word(word_at(x, index), word_at(y, index), carry, index == 0, machine)
        result = (*result, total)
    return result


def sums_in_parts(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """As `sums`, wrapping around in the highest part."""
    reach, word = machine.habits.carry_reach, machine.word
    carry = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for low in unrolled(0, width, reach):
        a, b = part_at(x, low, machine), part_at(y, low, machine)
        total = cut(sums(a, b, reach, machine), reach, word)
        carry_out = is_less(total, b, machine)
        if carry:
            total = cut(sums(total, (constant(1, 1),), reach, machine), reach, word)
        carry = carry_out | (carry & is_zero(total))
        result = (*result, *total)
    return result[: count_words(width, word)]


def part_at(x: tuple[Bits, ...], low: int, machine: Machine) -> tuple[Bits, ...]:
    """The words of x from bit `low` up that a carry goes through."""
    return words_at(x, low // machine.word, machine.habits.carry_reach // machine.word)


def is_less(x: tuple[Bits, ...], y: tuple[Bits, ...], machine: Machine) -> Bits:
    """Whether x < y, of as many words: the borrow out of x - y."""
    borrow = constant(0, 1)
    for index in unrolled(len(x)):
        _, borrow = subtract_word(x[index], y[index], borrow, index == 0, machine)
    return borrow


def is_zero(x: tuple[Bits, ...]) -> Bits:
    """Whether no word has a bit set."""
    together = x[0]
    for index in unrolled(1, len(x)):
        together = together | x[index]
    return together == 0


def add_word(x: Bits, y: Bits, carry: Bits, first: bool, machine: Machine) -> tuple[Bits, Bits]:
    """One word of a sum, and the carry out of it."""
    word = machine.word
    if machine.carry_flag:
        total = x + y if first else add_with_carry(x, y, carry)
        return low_word(total, word), carry_of(total, word)
    if max(x.width, y.width) < word:
        # The word has room for the carry, so nothing can wrap around.
        total = x + y if first else resize(x + y, word) + carry
        return low_word(total, word), constant(0, 1)
    total = add_modulo(x, y, word)
    carry_out = total < y
    if not first:
        total = add_modulo(total, carry, word)
        carry_out = carry_out | (total < carry)
    return total, carry_out


def carry_of(total: Bits, word: int) -> Bits:
    """What a sum has above its word: one bit, zero if it cannot have any."""
    return resize(high_word(total, word), 1) if total.width > word else constant(0, 1)


def subtract(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """x - y, which is not negative and which `width` bits hold."""
    return fitted(differences(x, y, width, machine), width, machine.word)


def subtract_wrapping(
    x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x - y in `width` bits, wrapping around."""
    return cut(differences(x, y, width, machine), width, machine.word)


def differences(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """The words of x - y, as many as `width` bits take, wrapping around at the end of the highest."""
    if machine.goes_in_parts(width):
        return differences_in_parts(x, y, width, machine)
    borrow = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, machine.word)):
        difference, borrow = subtract_word(word_at(x, index), word_at(y, index), borrow, index == 0, machine)
        result = (*result, difference)
    return result


def differences_in_parts(
    x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """As `differences`."""
    reach = machine.habits.carry_reach
    borrow = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for low in unrolled(0, width, reach):
        a, b = part_at(x, low, machine), part_at(y, low, machine)
        difference = differences(a, b, reach, machine)
        borrow_out = is_less(a, b, machine) | (borrow & is_zero(difference))
        if borrow:
            difference = differences(difference, (constant(1, 1),), reach, machine)
        borrow = move(borrow_out)
        result = (*result, *difference)
    return result[: count_words(width, machine.word)]


def subtract_word(x: Bits, y: Bits, borrow: Bits, first: bool, machine: Machine) -> tuple[Bits, Bits]:
    """One word of a difference, and the borrow out of it."""
    word = machine.word
    if machine.carry_flag:
        difference = subtract_with_borrow(resize(x, word), y, borrow)
        return low_word(difference, word), resize(high_word(difference, word), 1)
    difference = subtract_modulo(x, y, word)
    borrow_out = x < y
    if not first:
        borrow_out = borrow_out | (difference < borrow)
        difference = subtract_modulo(difference, borrow, word)
    return difference, borrow_out
