"""Shifts of values of several words.

By a constant: whole words only change places, which costs nothing. What is left of the distance is done by
a barrel shifter in one go for each word, the bits that cross over being brought in from its neighbour; or
one place at a time through the carry, in the direction that takes fewer places.

By a variable distance: with a barrel shifter, words are exchanged by the distance's upper bits and shifted by
its lower ones, without a branch. Otherwise a loop shifts one place a round, after jumps of whole words. A
distance may itself have several words; what its upper ones say are whole words to move by.

A machine whose unit is less than its word is the C of a small CPU: there, what moves by whole units are bytes
of a longer type.
"""

from __future__ import annotations

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.wide_comparison import moved
from softfloat_py.lowering.words import bit_at, count_words, fitted, total_width, word_at
from softfloat_py.routines.language import Bits, constant, field, resize, select, shift_left, unrolled
from softfloat_py.routines.lowering_words import (
    high_word,
    low_word,
    shift_left_through_carry,
    shift_right_through_carry,
)


def shift_left_constant(x: tuple[Bits, ...], distance: int, width: int, machine: Machine) -> tuple[Bits, ...]:
    """x << distance, which `width` bits hold; within a word, no carry is needed."""
    word = machine.word
    if machine.habits.carry_places and total_width(x, word) + distance % word <= word:
        return fitted(raise_words((x[0] << distance % word,), distance // word), width, word)
    places = distance % machine.moved_by
    if places and goes_by_places(places, machine):
        if places > machine.moved_by // 2:  # one unit further up, then a few places back down
            back, below = machine.moved_by - places, distance // word  # whole words, which stay 0
            raised = raise_units(fitted(x, len(x) * word, word), distance % word + back, machine)
            raised = fitted(raised, count_words(width - below * word + back, word) * word, word)
            shifted = shift_right_by_places(raised, back, machine)
            return fitted(raise_words(shifted, below), width, word)
        raised = raise_units(x, distance - places, machine)
        raised = fitted(raised, count_words(width, word) * word, word)
        return fitted(shift_left_by_places(raised, places, machine), width, word)
    raised = raise_words(x, distance // word)
    return fitted(shift_left_within(raised, distance % word, width, word), width, word)


def shift_right_constant(
    x: tuple[Bits, ...], distance: int, width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x >> distance, which `width` bits hold; within a word, no carry is needed."""
    word = machine.word
    if machine.habits.carry_places and distance // word == len(x) - 1:
        return fitted((x[len(x) - 1] >> distance % word,), width, word)
    places = distance % machine.moved_by
    if places and goes_by_places(places, machine):
        if places > machine.moved_by // 2:
            back = machine.moved_by - places
            lowered = lower_words(x, distance // word)  # nothing below comes up so far
            raised = shift_left_by_places(fitted(lowered, (len(lowered) + 1) * word, word), back, machine)
            return fitted(lower_units(raised, distance % word + back, machine), width, word)
        lowered = lower_units(x, distance - places, machine)
        lowered = fitted(lowered, len(lowered) * word, word)
        return fitted(shift_right_by_places(lowered, places, machine), width, word)
    lowered = lower_words(x, distance // word)
    return fitted(shift_right_within(lowered, distance % word, width, word), width, word)


def goes_by_places(places: int, machine: Machine) -> bool:
    """Whether a shift by less than a unit is best done one place at a time."""
    return not machine.barrel_shifter or min(places, machine.moved_by - places) <= machine.habits.carry_places


def shift_left_within(x: tuple[Bits, ...], places: int, width: int, word: int) -> tuple[Bits, ...]:
    """x << places, which are less than a word, by a barrel shifter; what `width` bits do not hold is lost."""
    if places == 0:
        return x
    full = fitted(x, max(count_words(width, word), len(x)) * word, word)
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, word)):
        upper = low_word(word_at(full, index) << places, word)
        result = (*result, upper | (word_at(full, index - 1) >> (word - places)))
    return result


def shift_right_within(x: tuple[Bits, ...], places: int, width: int, word: int) -> tuple[Bits, ...]:
    """The lowest `width` bits of x >> places, which are less than a word, by a barrel shifter."""
    if places == 0:
        return x
    full = fitted(x, len(x) * word, word)
    result: tuple[Bits, ...] = ()
    for index in unrolled(count_words(width, word)):
        lower = word_at(full, index) >> places
        result = (*result, lower | low_word(word_at(full, index + 1) << (word - places), word))
    return result


def raise_units(x: tuple[Bits, ...], distance: int, machine: Machine) -> tuple[Bits, ...]:
    """x << distance, a multiple of the machine's unit; with words above where they may be needed."""
    word = machine.word
    raised = raise_words(x, distance // word)
    if distance % word == 0:
        return raised
    return shift_left_within(raised, distance % word, (len(raised) + 1) * word, word)


def lower_units(x: tuple[Bits, ...], distance: int, machine: Machine) -> tuple[Bits, ...]:
    """x >> distance, a multiple of the machine's unit."""
    lowered = lower_words(x, distance // machine.word)
    return shift_right_within(lowered, distance % machine.word, len(lowered) * machine.word, machine.word)


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
        x = shift_left_once(x, machine)
    return x


def shift_right_by_places(x: tuple[Bits, ...], places: int, machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted right, one place at a time through the carry."""
    for _ in unrolled(places):
        x = shift_right_once(x, constant(0, 1), machine)
    return x


def shift_left_once(x: tuple[Bits, ...], machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted left by one place."""
    if sees_bits_first(machine):
        return shift_left_by_branches(x, machine.word)
    if machine.goes_in_parts(len(x) * machine.word):
        return shift_left_in_parts(x, machine)
    carry = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for part in x:
        shifted = shift_left_through_carry(part, carry)
        result = (*result, low_word(shifted, machine.word))
        carry = high_word(shifted, machine.word)
    return result


def shift_right_once(x: tuple[Bits, ...], carry: Bits, machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted right by one place, a bit coming in from above."""
    if sees_bits_first(machine):
        return shift_right_by_branches(x, carry, machine.word)
    if machine.goes_in_parts(len(x) * machine.word):
        return shift_right_in_parts(x, carry, machine)
    result: tuple[Bits, ...] = ()
    for index in unrolled(len(x) - 1, -1, -1):
        shifted = shift_right_through_carry(x[index], carry)
        result = (low_word(shifted, machine.word), *result)
        carry = high_word(shifted, machine.word)
    return result


def sees_bits_first(machine: Machine) -> bool:
    """Whether a bit that goes over to another word must be looked at before it is lost: there is no carry."""
    return machine.barrel_shifter and not machine.carry_flag


def shift_left_by_branches(x: tuple[Bits, ...], word: int) -> tuple[Bits, ...]:
    """Full words shifted left by one place, the highest first: nothing needs what it was any more."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(len(x) - 1, -1, -1):
        shifted = low_word(x[index] << 1, word)
        if field(word_at(x, index - 1), word - 1, 1) if index > 0 else constant(0, 1):
            shifted = shifted | 1
        result = (shifted, *result)
    return result


def shift_right_by_branches(x: tuple[Bits, ...], carry: Bits, word: int) -> tuple[Bits, ...]:
    """Full words shifted right by one place, the lowest first."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(len(x)):
        shifted = resize(x[index] >> 1, word)
        if field(x[index + 1], 0, 1) if index + 1 < len(x) else carry:
            shifted = shifted | (1 << (word - 1))
        result = (*result, shifted)
    return result


def shift_left_in_parts(x: tuple[Bits, ...], machine: Machine) -> tuple[Bits, ...]:
    """As `shift_left_once`, a branch taking a bit from part to part, the highest first."""
    count = machine.habits.carry_reach // machine.word
    result: tuple[Bits, ...] = ()
    for first in unrolled((len(x) - 1) // count * count, -1, -count):
        part = shift_left_once(x[first : first + count], machine)
        highest = 1 << (machine.word - 1)
        if word_at(x, first - 1) >= highest if first > 0 else constant(0, 1):
            part = (part[0] | 1, *part[1:])
        result = (*part, *result)
    return result


def shift_right_in_parts(x: tuple[Bits, ...], carry: Bits, machine: Machine) -> tuple[Bits, ...]:
    """As `shift_right_once`, a branch taking a bit from part to part, the lowest first."""
    word, count = machine.word, machine.habits.carry_reach // machine.word
    result: tuple[Bits, ...] = ()
    for first in unrolled(0, len(x), count):
        part = shift_right_once(x[first : first + count], constant(0, 1), machine)
        above = first + count
        if field(x[above], 0, 1) if above < len(x) else carry:
            part = (*part[: len(part) - 1], part[len(part) - 1] | (1 << (word - 1)))
        result = (*result, *part)
    return result


def shift_right_with_carry(x: tuple[Bits, ...], carry: Bits, machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted right by one place, a bit coming in from above, the way the machine does it best."""
    if goes_by_places(1, machine):
        return shift_right_once(x, carry, machine)
    word = machine.word
    return fitted(shift_right_within((*x, carry), 1, len(x) * word, word), len(x) * word, word)


def shift_left_variable(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x << distance, which `width` bits hold; distance below width."""
    word = machine.word
    full = fitted(x, count_words(width, word) * word, word)
    if machine.shifts_by_places:
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
    if machine.shifts_by_places:
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
        exchanged: tuple[Bits, ...] = ()
        for index in unrolled(len(x)):
            exchanged = (*exchanged, select(far, word_at(x, index - step * 2**bit), x[index]))
        x = exchanged
    return places, x


def shift_left_by_loop(x: tuple[Bits, ...], distance: tuple[Bits, ...], machine: Machine) -> tuple[Bits, ...]:
    """Full words shifted left by whole words, by units, then one place a round."""
    x, places = jump_by_distance(x, distance, 1, machine)
    for _ in range(places):
        x = shift_left_once(x, machine)
    return x


def shift_right_by_loop(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], machine: Machine
) -> tuple[Bits, ...]:
    """Full words shifted right by whole words, by units, then one place a round."""
    x, places = jump_by_distance(x, distance, -1, machine)
    for _ in range(places):
        x = shift_right_once(x, constant(0, 1), machine)
    return x


def jump_by_distance(
    x: tuple[Bits, ...], distance: tuple[Bits, ...], step: int, machine: Machine
) -> tuple[tuple[Bits, ...], Bits]:
    """Full words moved by what a distance has in whole words and units, up (step 1) or down (-1); and the
    places that are left of it.
    """
    x = jump_by_upper_words(x, distance, step, machine.word)
    x, places = jump_by_words(x, distance[0], step, 0, machine.word)
    return move_by_units(x, places, step, 0, machine)


def jump_by_words(
    x: tuple[Bits, ...], places: Bits, step: int, words: int, word: int
) -> tuple[tuple[Bits, ...], Bits]:
    """Full words moved by as many words as there are among the places, which are `words` or more; and what is
    left of the places.
    """
    if places >= (words + 1) * word if words < most_jumps(x, places, word) else constant(0, 1):
        x, places = jump_by_words(x, places, step, words + 1, word)
    elif words > 0:
        x, places = moved(jump(x, step * words, word)), places - words * word
    return x, places


def move_by_units(
    x: tuple[Bits, ...], places: Bits, step: int, units: int, machine: Machine
) -> tuple[tuple[Bits, ...], Bits]:
    """As `jump_by_words`, by units, of which less than a word is left."""
    distance = units * machine.moved_by
    if places >= distance + machine.moved_by if units < most_moves(places, machine) else constant(0, 1):
        x, places = move_by_units(x, places, step, units + 1, machine)
    elif units > 0:
        x, places = moved_within(x, step * distance, machine.word), places - distance
    return x, places


def moved_within(x: tuple[Bits, ...], places: int, word: int) -> tuple[Bits, ...]:
    """Full words shifted up by less than a word, or down if that is negative; what leaves them is lost."""
    if places > 0:
        return fitted(shift_left_within(x, places, len(x) * word, word), len(x) * word, word)
    return fitted(shift_right_within(x, -places, len(x) * word, word), len(x) * word, word)


def most_jumps(x: tuple[Bits, ...], places: Bits, word: int) -> int:
    """How often x can be moved by a word before nothing is left of it, or of the distance."""
    return min(len(x) - 1, ((1 << places.width) - 1) // word)


def most_moves(places: Bits, machine: Machine) -> int:
    """How often a unit can be taken from what a distance has beyond whole words."""
    return min(machine.word // machine.moved_by - 1, ((1 << places.width) - 1) // machine.moved_by)


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
        return fitted(raise_words(x[: len(x) - words], words), len(x) * word, word)
    return fitted(lower_words(x, -words), len(x) * word, word)
