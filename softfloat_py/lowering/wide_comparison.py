"""Comparing and choosing values of several words."""

from __future__ import annotations

from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.wide_addition import is_less
from softfloat_py.lowering.words import fitted, word_at, words_at
from softfloat_py.routines.language import Bits, move, unrolled


def equal(x: tuple[Bits, ...], y: tuple[Bits, ...], machine: Machine) -> Bits:
    """Whether all words are equal."""
    result = word_at(x, 0) == word_at(y, 0)
    for index in unrolled(1, max(len(x), len(y))):
        result = result & (word_at(x, index) == word_at(y, index))
    return result


def not_equal(x: tuple[Bits, ...], y: tuple[Bits, ...], machine: Machine) -> Bits:
    """Whether some words differ."""
    return ~equal(x, y, machine)


def less(x: tuple[Bits, ...], y: tuple[Bits, ...], machine: Machine) -> Bits:
    """Whether x < y: with a carry flag the borrow out of x - y, otherwise decided by the highest words that
    differ.
    """
    if machine.carry_flag:
        count = max(len(x), len(y))
        return is_less(words_at(x, 0, count), words_at(y, 0, count), machine)
    result = word_at(x, 0) < word_at(y, 0)
    for index in unrolled(1, max(len(x), len(y))):
        a, b = word_at(x, index), word_at(y, index)
        result = (a < b) | ((a == b) & result)
    return result


def less_or_equal(x: tuple[Bits, ...], y: tuple[Bits, ...], machine: Machine) -> Bits:
    """Whether x <= y, that is not y < x."""
    return ~less(y, x, machine)


def choose(
    condition: Bits, x: tuple[Bits, ...], y: tuple[Bits, ...], width: int, machine: Machine
) -> tuple[Bits, ...]:
    """x where the condition holds, else y: one branch over the moves of all words."""
    if condition:
        result = moved(fitted(x, width, machine.word))
    else:
        result = moved(fitted(y, width, machine.word))
    return result


def moved(x: tuple[Bits, ...]) -> tuple[Bits, ...]:
    """x in other registers."""
    result: tuple[Bits, ...] = ()
    for word in x:
        result = (*result, move(word))
    return result
