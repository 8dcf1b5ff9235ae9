"""Words of the language for the lowering alone: the words of a CPU, and its carry as the bit above a word.

No routine of an operation uses them; those of `lowering/` say with them how wide steps are done in words.
"""

from __future__ import annotations

from softfloat_py.routines.language import Bits, step
from softfloat_py.routines.tables import Table


def low_word(x: Bits, word: int) -> Bits:
    """The lowest `word` bits of x, when they lie in a register of their own; costs nothing."""
    return step("low_word", x, immediate=word)


def high_word(x: Bits, word: int) -> Bits:
    """What of x lies above its lowest `word` bits, when that is a register or the carry; costs nothing."""
    return step("high_word", x, immediate=word)


def join_words(low: Bits, high: Bits) -> Bits:
    """Two registers as one, `high` above `low`, as an address takes them; costs nothing."""
    return step("join_words", low, high)


def load_at(table: Table, address: Bits) -> Bits:
    """The entry of a table that begins at an address, see `tables.base_address`."""
    return step("load_at", address, immediate=table)


def add_with_carry(x: Bits, y: Bits | int, carry: Bits | int) -> Bits:
    """x + y + carry; the top bit of the result is the carry out."""
    return step("add_with_carry", x, y, carry)


def subtract_with_borrow(x: Bits, y: Bits | int, borrow: Bits | int) -> Bits:
    """x - y - borrow; the top bit of the result is the borrow out."""
    return step("subtract_with_borrow", x, y, borrow)


def shift_left_through_carry(x: Bits, carry: Bits | int) -> Bits:
    """x shifted left by one, carry coming in below; the top bit of the result is the carry out."""
    return step("shift_left_through_carry", x, carry)


def shift_right_through_carry(x: Bits, carry: Bits | int) -> Bits:
    """x shifted right by one, carry coming in above; the top bit of the result is the carry out."""
    return step("shift_right_through_carry", x, carry)
