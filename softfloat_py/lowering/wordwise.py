"""What is done to values of several words word by word: logic, and moves to and from memory."""

from __future__ import annotations

from softfloat_py.lowering.words import word_at
from softfloat_py.routines.language import Bits, load, store, unrolled


def conjunction(x: tuple[Bits, ...], y: tuple[Bits, ...]) -> tuple[Bits, ...]:
    """x and y; no more words than the shorter has."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(min(len(x), len(y))):
        result = (*result, x[index] & y[index])
    return result


def disjunction(x: tuple[Bits, ...], y: tuple[Bits, ...]) -> tuple[Bits, ...]:
    """x or y."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(max(len(x), len(y))):
        result = (*result, word_at(x, index) | word_at(y, index))
    return result


def exclusive_disjunction(x: tuple[Bits, ...], y: tuple[Bits, ...]) -> tuple[Bits, ...]:
    """x exclusive-or y."""
    result: tuple[Bits, ...] = ()
    for index in unrolled(max(len(x), len(y))):
        result = (*result, word_at(x, index) ^ word_at(y, index))
    return result


def complement(x: tuple[Bits, ...]) -> tuple[Bits, ...]:
    """All bits of x flipped."""
    result: tuple[Bits, ...] = ()
    for word in x:
        result = (*result, ~word)
    return result


def loaded(x: tuple[Bits, ...]) -> tuple[Bits, ...]:
    """x brought from memory."""
    result: tuple[Bits, ...] = ()
    for word in x:
        result = (*result, load(word))
    return result


def stored(x: tuple[Bits, ...]) -> tuple[Bits, ...]:
    """x put into memory."""
    result: tuple[Bits, ...] = ()
    for word in x:
        result = (*result, store(word))
    return result
