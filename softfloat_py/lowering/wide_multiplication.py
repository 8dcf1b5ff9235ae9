"""Products of several words, from the products a machine has.

Operands are cut into digits that the native product takes; each pair of digits is multiplied and added where
it belongs, as in multiplication by hand. A product that fits one word is added up with others of its column,
in digits small enough that nothing is carried out of the word; one of two words is added with the carry.
Without a native product, the multiplicand is added wherever the multiplier has a bit set. Common practice,
no source.
"""

from __future__ import annotations

from dataclasses import replace

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.wide_addition import add, add_word
from softfloat_py.lowering.wide_shifts import (
    shift_left_constant,
    shift_right_constant,
    shift_right_with_carry,
)
from softfloat_py.lowering.words import fitted, total_width, word_at
from softfloat_py.routines.language import Bits, add_modulo, constant, field, move, resize, unrolled
from softfloat_py.routines.lowering_words import high_word, low_word


def multiply(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """x × y, `width` bits."""
    if machine.multiplier_bits == 0:
        return multiply_by_adding(x, y, width, machine)
    if machine.habits.digit_rows:
        return multiply_by_rows(x, y, width, machine)
    machine = replace(machine, habits=replace(machine.habits, carry_reach=0))
    word, digit = machine.word, machine.multiplier_bits
    if 2 * digit <= word:
        small = column_digit(total_width(x, word), total_width(y, word), machine)
        if small > 0:
            return multiply_by_columns(x, y, width, small, word)
    first, second = digits(x, digit, word), digits(y, digit, word)
    result: tuple[Bits, ...] = (constant(0, 1),)
    for column in unrolled(len(first) + len(second) - 1):
        for index in unrolled(max(0, column - len(second) + 1), min(len(first), column + 1)):
            product = words_of(first[index] * second[column - index], word)
            result = add_at(result, product, column * digit, width, machine)
    return fitted(result, width, word)


def multiply_by_columns(
    x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, digit: int, word: int
) -> tuple[Bits, ...]:
    """x × y, one column of digit products after the other, what is above a digit going to the next column.

    The digits are such that no column's sum is wider than a word.
    """
    first, second = small_digits(x, digit, word), small_digits(y, digit, word)
    carried = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for column in unrolled(len(first) + len(second) - 1):
        total = move(carried)
        for index in unrolled(max(0, column - len(second) + 1), min(len(first), column + 1)):
            total = sum_within(total, first[index] * second[column - index], word)
        result = (*result, field(total, 0, digit))
        carried = total >> digit if total.width > digit else constant(0, 1)
    return joined_digits((*result, carried), digit, width, word)


def multiply_by_rows(
    x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x × y, one row of digit products after the other, as in multiplication by hand.

    Twice a digit holds every sum: (2^d - 1)² + 2 (2^d - 1) < 2^2d.
    """
    word, digit = machine.word, machine.multiplier_bits
    first, second = small_digits(x, digit, word), small_digits(y, digit, word)
    result: tuple[Bits, ...] = ()
    for row in unrolled(len(second)):
        carried = constant(0, 1)
        for index in unrolled(len(first)):
            total = words_of(first[index] * second[row], word)
            total = add_digit(total, carried, digit, machine)
            if row + index < len(result):
                total = add_digit(total, result[row + index], digit, machine)
            low = resize(field(total[0], 0, digit), digit)
            result = (*result[: row + index], low, *result[row + index + 1 :])
            carried = upper_digit(total, digit, machine)
        result = (*result, carried)
    return joined_digits(result, digit, width, word)


def add_digit(total: tuple[Bits, ...], x: Bits, digit: int, machine: Machine) -> tuple[Bits, ...]:
    """total + x, which twice a digit holds."""
    if len(total) == 1:
        return (add_modulo(total[0], x, 2 * digit),)
    return add(total, (x,), 2 * digit, machine)


def upper_digit(x: tuple[Bits, ...], digit: int, machine: Machine) -> Bits:
    """What lies above a digit, in as many bits."""
    if len(x) == 1:
        return resize(x[0] >> digit, digit)
    return resize(shift_right_constant(x, digit, digit, machine)[0], digit)


def column_digit(x_width: int, y_width: int, machine: Machine) -> int:
    """The widest digits whose columns fit a word, 0 if none do."""
    for digit in range(machine.multiplier_bits, 0, -1):
        if columns_fit(x_width, y_width, digit, machine.word):
            return digit
    return 0


def columns_fit(x_width: int, y_width: int, digit: int, word: int) -> bool:
    """Whether no sum of a column is wider than a word, with what comes from the column before."""
    first, second = largest_digits(x_width, digit), largest_digits(y_width, digit)
    carried = 0
    for column in range(len(first) + len(second) - 1):
        pairs = range(max(0, column - len(second) + 1), min(len(first), column + 1))
        total = carried + sum(first[index] * second[column - index] for index in pairs)
        if total >> word:
            return False
        carried = total >> digit
    return True


def largest_digits(width: int, digit: int) -> list[int]:
    """The digits of the largest number of a width, lowest first."""
    return [(1 << min(digit, width - low)) - 1 for low in range(0, width, digit)]


def sum_within(x: Bits, y: Bits, room: int) -> Bits:
    """x + y, which `room` bits hold."""
    return resize(x + y, min(max(x.width, y.width) + 1, room))


def small_digits(x: tuple[Bits, ...], digit: int, word: int) -> tuple[Bits, ...]:
    """x in digits of less than a word, wherever they lie."""
    result: tuple[Bits, ...] = ()
    for low in unrolled(0, total_width(x, word), digit):
        index, place = low // word, low % word
        part = x[index] >> place if place else x[index]
        if place + digit > word and index + 1 < len(x):
            part = part | low_word(x[index + 1] << (word - place), word)
        result = (*result, field(part, 0, digit))
    return result


def joined_digits(digits: tuple[Bits, ...], digit: int, width: int, word: int) -> tuple[Bits, ...]:
    """The words of a number given in digits; the last one may be wider than the others."""
    result = fitted((constant(0, 1),), width, word)
    for number in unrolled(len(digits)):
        low = number * digit
        shifted = shifted_to(digits[number], low % word, word)
        for index in unrolled(len(shifted)):
            place = low // word + index
            if place < len(result):
                merged = resize(result[place] | shifted[index], result[place].width)
                result = (*result[:place], merged, *result[place + 1 :])
    return result


def shifted_to(x: Bits, place: int, word: int) -> tuple[Bits, ...]:
    """x shifted left by less than a word, in one or two words."""
    if place == 0:
        return (x,)
    if place + x.width <= word:
        return (x << place,)
    return low_word(x << place, word), x >> (word - place)


def digits(x: tuple[Bits, ...], digit: int, word: int) -> tuple[Bits, ...]:
    """x in digits of half a word or a word."""
    if digit == word:
        return x
    result: tuple[Bits, ...] = ()
    for part in x:
        result = (*result, resize(field(part, 0, digit), min(digit, part.width)))
        if part.width > digit:
            result = (*result, part >> digit)
    return result


def words_of(product: Bits, word: int) -> tuple[Bits, ...]:
    """A native product in the one or two registers it is delivered in."""
    if product.width <= word:
        return (product,)
    return low_word(product, word), high_word(product, word)


def add_at(
    total: tuple[Bits, ...], x: tuple[Bits, ...], place: int, width: int, machine: Machine
) -> tuple[Bits, ...]:
    """total + x × 2^place, which `width` bits hold."""
    word = machine.word
    words, places = place // word, place % word
    if places:
        x = shift_left_constant(x, places, min((len(x) + 1) * word, width - words * word), machine)
    below: tuple[Bits, ...] = ()
    for index in unrolled(words):
        below = (*below, resize(word_at(total, index), word))
    room = min(max(len(total) - words, len(x)) * word + 1, width - words * word)
    return below + add(total[words:], fitted(x, min(len(x) * word, room), word), room, machine)


def multiply_by_adding(
    x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x × y by add and shift: the multiplier's lowest bit decides, then the product so far goes right, into
    the place that the multiplier leaves.
    """
    word = machine.word
    x_bits, places = total_width(x, word), total_width(y, word)
    upper = fitted((constant(0, 1),), len(x) * word, word)
    lower = fitted(y, len(y) * word, word)
    for _ in range(places):
        carry = constant(0, 1)
        if field(lower[0], 0, 1):
            upper, carry = sum_and_carry(fitted(upper, x_bits, word), x, machine)
        shifted = shift_right_with_carry((*lower, *upper), carry, machine)
        lower, upper = shifted[: len(y)], shifted[len(y) :]
    return fitted(shift_right_constant((*lower, *upper), len(y) * word - places, width, machine), width, word)


def sum_and_carry(
    x: tuple[Bits, ...], y: tuple[Bits, ...], machine: Machine
) -> tuple[tuple[Bits, ...], Bits]:
    """x + y in as many full words, and the carry out of them."""
    carry = constant(0, 1)
    result: tuple[Bits, ...] = ()
    for index in unrolled(len(x)):
        total, carry = add_word(x[index], y[index], carry, index == 0, machine)
        result = (*result, resize(total, machine.word))
    return result, carry
