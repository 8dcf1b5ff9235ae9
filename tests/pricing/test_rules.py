"""The rules of what compiled code does, each worked out by hand."""

from __future__ import annotations

import pytest

from softfloat_py.pricing.registers import Registers
from softfloat_py.pricing.rules import shares_beyond, words_of_value, words_put_away
from tests.pricing.invented_cpu import C


@pytest.mark.parametrize(
    ("shares", "registers", "live"),
    [
        ((0, 0), Registers(8, 0), 8),
        ((0, 2 / 10), Registers(8, 0), 10),
        ((2 / 11, 1 / 11), Registers(8, 2), 11),
        ((0, 1), Registers(0, 0), 5),
        # Values of four words each are put away whole, with room for three words of one that is brought back.
        ((0, 0), Registers(26, 0, value=4), 26),
        ((0, 4 / 27), Registers(26, 0, value=4), 27),
        ((0, 8 / 28), Registers(26, 0, value=4), 28),
        ((4 / 28, 4 / 28), Registers(26, 4, value=4), 28),
        ((0, 1), Registers(2, 0, value=4), 3),
    ],
)
def test_shares_beyond_the_registers(shares: tuple[float, float], registers: Registers, live: int) -> None:
    """Words beyond the registers are parked as far as there is room for that, and lie in memory otherwise."""
    assert shares == shares_beyond(registers, live)


@pytest.mark.parametrize(
    ("away", "registers", "needed", "others"),
    [
        ((0, 0), Registers(8, 0), 5, 3),
        ((0, 2), Registers(8, 0), 7, 3),
        ((1, 1), Registers(8, 1), 7, 3),
        ((0, 3), Registers(8, 0), 20, 3),  # no more than there are
    ],
)
def test_others_are_put_away_for_what_is_needed(
    away: tuple[int, int], registers: Registers, needed: int, others: int
) -> None:
    """As many others leave the registers as what is needed takes the place of."""
    assert away == words_put_away(registers, needed, others)


@pytest.mark.parametrize(
    ("words", "width", "word"),
    [(1, 7, 8), (2, 9, 8), (4, 17, 8), (4, 32, 8), (8, 33, 8), (8, 56, 8), (16, 106, 8), (2, 33, 32)],
)
def test_values_are_held_in_integer_types(words: int, width: int, word: int) -> None:
    """A value takes the words of the type it fits: 8, 16 or 32 bits, or several of 32."""
    assert words == words_of_value(width, word, C)
