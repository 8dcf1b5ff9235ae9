"""Values of several words to and from memory: each word on its own."""

from __future__ import annotations

from softfloat_py.routines.language import Bits, load, store


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
