"""Shifts of values of several words.

By a constant: whole words only change places, which costs nothing. What is left of the distance is done by
a barrel shifter in one go for each word, the bits that cross over being brought in from its neighbour; or
one place at a time through the carry, in the direction that takes fewer places.

By a variable distance: with a barrel shifter, words are exchanged by the distance's upper bits and shifted by
its lower ones, without a branch. Otherwise a loop shifts one place a round, after jumps of whole words. A
distance may itself have several words; what its upper ones say are whole words to move by.
"""

from __future__ import annotations

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import bit_at, count_words, fitted, total_width, word_at
from softfloat_py.routines.language import (
    Bits,
    constant,
    field,
    high_word,
    low_word,
    resize,
    select,
    shift_left,
    shift_left_through_carry,
    shift_right_through_carry,
    unrolled,
)


def shift_left_constant(x: tuple[Bits, ...], distance: int, width: int, machine: Machine) -> tuple[Bits, ...]:
    """x << distance, which `width` bits hold."""
    word = machine.word
    words, places = distance // word, distance % word
    if places and not machine.barrel_shifter and places > word // 2:
        # One word further up, then a few places back down.
        raised = raise_words(fitted(x, len(x) * word, word), words + 1)
        raised = fitted(raised, len(raised) * word, word)
        return fitted(shift_right_by_places(raised, word - places, machine), width, word)
    raised = raise_words(x, words)
    if places == 0:
        return fitted(raised, width, word)
    raised = fitted(raised, max(count_words(width, word), len(raised)) * word, word)
    if not machine.barrel_shifter:
        return fitted(shift_left_by_places(raised, places, machine), width, word)
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, word)):
        upper = low_word(word_at(raised, index) << places, word)
        result = (*result, upper | (word_at(raised, index - 1) >> (word - places)))
    return fitted(result, width, word)


def shift_right_constant(
    x: tuple[Bits, ...], distance: int, width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x >> distance, which `width` bits hold."""
    word = machine.word
    words, places = distance // word, distance % word
    if places and not machine.barrel_shifter and places > word // 2:
        raised = fitted(x, (len(x) + 1) * word, word)
        shifted = shift_left_by_places(raised, word - places, machine)
        return fitted(lower_words(shifted, words + 1), width, word)
    lowered = lower_words(x, words)
    if places == 0:
        return fitted(lowered, width, word)
    lowered = fitted(lowered, len(lowered) * word, word)
    if not machine.barrel_shifter:
        return fitted(shift_right_by_places(lowered, places, machine), width, word)
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, word)):
        lower = word_at(lowered, index) >> places
        result = (*result, lower | low_word(word_at(lowered, index + 1) << (word - places), word))
    return fitted(result, width, word)


def raise_words(x: tuple[Bits, ...], words: int) -> tuple[Bits, ...]:
    """x with so many zero words below it."""
    result = x
    for _ in unrolled(words):
        result = (constant(0, 1), *result)
    return result


def lower_words(x: tuple[Bits, ...], words: int) -> tuple[Bits, ...]:
    """x without its lowest words."""
    return x[words:] if words < len(x) else (constant(0, 1),)


def shift_left_by_places(x: tuple[Bits, ...], places: int, machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted left, one place at a time through the carry."""
    for _ in unrolled(places):
        x = shift_left_once(x, machine.word)
    return x


def shift_right_by_places(x: tuple[Bits, ...], places: int, machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted right, one place at a time through the carry."""
    for _ in unrolled(places):
        x = shift_right_once(x, machine.word)
    return x


def shift_left_once(x: tuple[Bits, ...], word: int) -> tuple[Bits, ...]:
    """Full words shifted left by one place, from the lowest word up."""
    carry = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for part in x:
        shifted = shift_left_through_carry(part, carry)
        result = (*result, low_word(shifted, word))
        carry = high_word(shifted, word)
    return result


def shift_right_once(x: tuple[Bits, ...], word: int) -> tuple[Bits, ...]:
    """Full words shifted right by one place, from the highest word down."""
    carry = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for index in unrolled(len(x) - 1, -1, -1):
        shifted = shift_right_through_carry(x[index], carry)
        result = (low_word(shifted, word), *result)
        carry = high_word(shifted, word)
    return result


def shift_left_variable(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x << distance, which `width` bits hold; distance below width."""
    word = machine.word
    full = fitted(x, count_words(width, word) * word, word)
    if not machine.barrel_shifter:
        return fitted(shift_left_by_loop(full, distance, machine), width, word)
    places, full = exchange_words(full, distance, 1, word)
    result: tuple[Bits, ...] = ()
    for index in unrolled(len(full)):
        # The neighbour goes right by word - places, in two parts since places may be 0.
        raised = low_word(shift_left(full[index], places, 2 * word), word)
        if index > 0:
            raised = raised | (resize(full[index - 1] >> 1, word) >> (places ^ (word - 1)))
        result = (*result, raised)
    return fitted(result, width, word)


def shift_right_variable(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x >> distance, in `width` bits; distance below width."""
    word = machine.word
    full = fitted(x, count_words(width, word) * word, word)
    if not machine.barrel_shifter:
        return fitted(shift_right_by_loop(full, distance, machine), width, word)
    places, full = exchange_words(full, distance, -1, word)
    result: tuple[Bits, ...] = ()
    for index in unrolled(len(full)):
        lower = full[index] >> places
        if index + 1 < len(full):
            doubled = low_word(full[index + 1] << 1, word)
            lower = lower | low_word(shift_left(doubled, places ^ (word - 1), 2 * word), word)
        result = (*result, lower)
    return fitted(result, width, word)


def exchange_words(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], step: int, word: int
) -> tuple[Bits, tuple[Bits, ...]]:
    """The part of a distance that is less than a word, and x moved by the rest: up (step 1) or down (-1)."""
    place_bits = (word - 1).bit_length()
    places = resize(field(distance[0], 0, place_bits), place_bits)
    for bit in unrolled(max(total_width(distance, word) - place_bits, 0)):
        far = bit_at(distance, place_bits + bit, word)
        moved: tuple[Bits, ...] = ()
        for index in unrolled(len(x)):
            moved = (*moved, select(far, word_at(x, index - step * 2**bit), x[index]))
        x = moved
    return places, x


def shift_left_by_loop(x: tuple[Bits, ...], distance: tuple[Bits, ...], machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted left by whole words, then one place a round."""
    word = machine.word
    x = jump_by_upper_words(x, distance, 1, word)
    places = distance[0]
    for _ in unrolled(most_jumps(x, places, word)):
        if places >= word:
            x = jump(x, 1, word)
            places = places - word
    for _ in range(places):
        x = shift_left_once(x, word)
    return x


def shift_right_by_loop(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], machine: Machine
) -> tuple[Bits, ...]:
    """Full words shifted right by whole words, then one place a round."""
    word = machine.word
    x = jump_by_upper_words(x, distance, -1, word)
    places = distance[0]
    for _ in unrolled(most_jumps(x, places, word)):
        if places >= word:
            x = jump(x, -1, word)
            places = places - word
    for _ in range(places):
        x = shift_right_once(x, word)
    return x


def most_jumps(x: tuple[Bits, ...], places: Bits, word: int) -> int:
    """How often x can be moved by a word before nothing is left of it, or of the distance."""
    return min(len(x) - 1, ((1 << places.width) - 1) // word)


def jump_by_upper_words(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], step: int, word: int
) -> tuple[Bits, ...]:
    """Full words moved by what a distance has above its lowest word, up (step 1) or down (-1)."""
    most = (len(x) * word - 1).bit_length()  # bits of a distance that leaves something of x
    for bit in unrolled(word, min(total_width(distance, word), most)):
        if bit_at(distance, bit, word):
            x = jump(x, step * 2**bit // word, word)
    return x


def jump(x: tuple[Bits, ...], words: int, word: int) -> tuple[Bits, ...]:
    """Full words moved up by so many words, or down if that is negative; zeros come in."""
    if words > 0:
        moved = raise_words(x[: len(x) - words], words)
    else:
        moved = lower_words(x, -words)
    return fitted(moved, len(x) * word, word)
