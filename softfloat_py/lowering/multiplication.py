"""Products of several words, from the products a machine has.

Operands are cut into digits of as many bits as the native product takes; each pair of digits is multiplied
and added where it belongs, as in multiplication by hand. Without a native product, the multiplicand is
added wherever the multiplier has a bit set. Common practice, no source.
"""

from __future__ import annotations

from softfloat_py.lowering.addition import add
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.shifts import shift_left_constant, shift_right_constant
from softfloat_py.lowering.words import count_words, fitted, word_at
from softfloat_py.routines.language import Bits, constant, field, high_word, low_word, resize, unrolled


def multiply(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """x × y, `width` bits."""
    if machine.multiplier_bits == 0:
        return multiply_by_adding(x, y, width, machine)
    word, digit = machine.word, machine.multiplier_bits
    first, second = digits(x, digit, word), digits(y, digit, word)
    result: tuple[Bits, ...] = (constant(0, 1),)
    for column in unrolled(len(first) + len(second) - 1):
        for index in unrolled(max(0, column - len(second) + 1), min(len(first), column + 1)):
            product = words_of(first[index] * second[column - index], word)
            result = add_at(result, product, column * digit, width, machine)
    return fitted(result, width, word)


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
    """x × y by shift and add: the multiplier's lowest bit decides, then it goes right and the multiplicand
    left.
    """
    word = machine.word
    places = len(y) * word - word + y[len(y) - 1].width
    total_bits = count_words(width, word) * word
    result = fitted((constant(0, 1),), total_bits, word)
    multiplicand = fitted(x, total_bits, word)
    multiplier_bits = len(y) * word
    multiplier = fitted(y, multiplier_bits, word)
    for _ in range(places):
        if field(multiplier[0], 0, 1):
            result = add(result, multiplicand, total_bits, machine)
        multiplicand = shift_left_constant(multiplicand, 1, total_bits, machine)
        multiplier = fitted(
            shift_right_constant(multiplier, 1, multiplier_bits, machine), multiplier_bits, word
        )
    return fitted(result, width, word)
