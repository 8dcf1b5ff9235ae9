"""Quotients, by the machine's own divider where it takes the operands, else by shift and subtract.

Invariant of the latter: below k quotient bits, the words hold the bits of the dividend that have not been
looked at; above them stands what remains of the others, less than the divisor. A round doubles all of it and
takes the divisor away if that goes, which is the next bit. Of what is taken away every bit is masked, so no
round branches, and the time does not depend on the operands. Common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.wide_addition import is_less, subtract
from softfloat_py.lowering.wide_shifts import shift_left_constant
from softfloat_py.lowering.words import count_words, fitted, total_width
from softfloat_py.routines.language import Bits, divide, resize, subtract_modulo
from softfloat_py.routines.lowering_words import join_words


def quotient(x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine) -> tuple[Bits, ...]:
    """x divided by y, rounded down, which `width` bits hold; y is not zero."""
    word = machine.word
    if machine.divides(total_width(x, word), total_width(y, word), width):
        return fitted((divide(in_one(x), y[0], width),), width, word)
    return quotient_by_subtracting(x, y, width, machine)


def in_one(x: tuple[Bits, ...]) -> Bits:
    """One or two words as the register, or the pair of them, that a divider takes."""
    return x[0] if len(x) == 1 else join_words(x[0], x[1])


def quotient_by_subtracting(
    x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """As `quotient`, a bit a round, what remains in words that hold twice the divisor."""
    machine = replace(machine, habits=replace(machine.habits, carry_reach=0))
    word = machine.word
    low, high = count_words(width, word), count_words(total_width(y, word) + 1, word)
    full = (low + high) * word
    spare = low * word - width
    room = max(full, count_words(total_width(x, word) + spare, word) * word)
    words = fitted(shift_left_constant(x, spare, room, machine), full, word)
    divisor = fitted(y, high * word, word)
    for _ in range(width):
        doubled = shift_left_constant(words, 1, full, machine)
        goes = ~is_less(doubled[low:], divisor, machine)
        taken = masked(divisor, subtract_modulo(0, goes, word))
        rest = subtract(doubled[low:], taken, high * word, machine)
        words = (doubled[0] | goes, *doubled[1:low], *rest)
    return fitted(words[:low], width, word)


def masked(x: tuple[Bits, ...], mask: Bits) -> tuple[Bits, ...]:
    """The words of x, or zeros."""
    result: tuple[Bits, ...] = ()
    for part in x:
        result = (*result, resize(part & mask, mask.width))
    return result
