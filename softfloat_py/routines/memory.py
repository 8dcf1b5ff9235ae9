"""Operands that lie in memory: each is loaded once before an operation, each result stored after it."""

from __future__ import annotations

from softfloat_py.routines.language import Bits, load, phase, store


def loaded(x: Bits) -> Bits:
    """An operand, brought from memory."""
    phase("memory")
    return load(x)


def stored(x: Bits) -> Bits:
    """A result, put into memory."""
    phase("memory")
    return store(x)
