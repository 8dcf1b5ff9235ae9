"""The words of routines: widths of results, values, and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from softfloat_py.environment import Flags
from softfloat_py.errors import WidthError
from softfloat_py.routines import language, lowering_words
from softfloat_py.routines.language import Bits, signal, signals
from softfloat_py.routines.tables import Table, base_address

FIVE, SEVEN, WIDE = Bits(5, 3), Bits(7, 3), Bits(0b1011_0110, 8)

# What is written, and the value and width of the result, worked by hand from the width rules.
EXPRESSIONS: dict[str, tuple[Bits, int, int]] = {
    "sum is one bit wider": (FIVE + SEVEN, 12, 4),
    "sum with a whole number on the right": (FIVE + 1, 6, 4),
    "sum with a whole number on the left": (9 + FIVE, 14, 5),
    "difference is as wide as the wider": (WIDE - FIVE, 177, 8),
    "difference from a whole number": (7 - FIVE, 2, 3),
    "product is as wide as both together": (FIVE * WIDE, 910, 11),
    "and is as wide as the narrower": (WIDE & SEVEN, 6, 3),
    "or is as wide as the wider": (WIDE | FIVE, 0b1011_0111, 8),
    "exclusive or is as wide as the wider": (WIDE ^ SEVEN, 0b1011_0001, 8),
    "complement keeps its width": (~WIDE, 0b0100_1001, 8),
    "shift left by a constant widens": (FIVE << 4, 80, 7),
    "shift right by a constant narrows": (WIDE >> 5, 5, 3),
    "shift right past the end leaves one bit": (FIVE >> 9, 0, 1),
    "shift right by a variable distance keeps the width": (WIDE >> Bits(5, 3), 5, 8),
    "equality is one bit": (WIDE == 182, 1, 1),
    "inequality is one bit": (WIDE != 182, 0, 1),
    "less is one bit": (FIVE < SEVEN, 1, 1),
    "less or equal is one bit": (FIVE <= 5, 1, 1),
    "greater is one bit": (FIVE > SEVEN, 0, 1),
    "greater or equal is one bit": (SEVEN >= WIDE, 0, 1),
    "field from the bottom": (language.field(WIDE, 0, 4), 0b0110, 4),
    "field from the middle": (language.field(WIDE, 1, 5), 0b11011, 5),
    "field from the top": (language.field(WIDE, 6, 2), 0b10, 2),
    "two numbers side by side": (language.concatenate(FIVE, SEVEN), 0b101_111, 6),
    "a stated width": (language.resize(FIVE, 9), 5, 9),
    "shift left by a variable distance": (language.shift_left(FIVE, Bits(2, 2), 5), 20, 5),
    "the first of two choices": (language.select(Bits(1, 1), FIVE, WIDE), 5, 8),
    "the second of two choices": (language.select(Bits(0, 1), FIVE, 9), 9, 4),
    "zeros above the highest set bit": (language.count_leading_zeros(Bits(0b101, 9)), 6, 4),
    "zeros of zero": (language.count_leading_zeros(Bits(0, 8)), 8, 4),
    "sum that wraps around": (language.add_modulo(WIDE, 100, 8), 26, 8),
    "difference that wraps around": (language.subtract_modulo(FIVE, SEVEN, 4), 14, 4),
    "entry of a table": (language.look_up((3, 12, 1), Bits(1, 8)), 12, 4),
    "entry of a table with a width": (language.look_up(Table((3, 12, 1), 9), 2), 1, 9),
    "two words as one": (lowering_words.join_words(FIVE, WIDE), 0b1011_0110_101, 11),
    "entry at an address": (
        lowering_words.load_at(Table((3, 12, 300)), Bits(base_address(8) + 4, 8)),
        300,
        9,
    ),
    "low word": (lowering_words.low_word(Bits(0x1FE, 9), 8), 0xFE, 8),
    "high word": (lowering_words.high_word(Bits(0x1FE, 9), 8), 1, 1),
    "sum with carry": (lowering_words.add_with_carry(WIDE, WIDE, Bits(1, 1)), 365, 9),
    "difference with borrow": (lowering_words.subtract_with_borrow(FIVE, SEVEN, Bits(1, 1)), 0b1101, 4),
    "shift left through carry": (lowering_words.shift_left_through_carry(SEVEN, 0), 0b1110, 4),
    "shift right through carry": (lowering_words.shift_right_through_carry(FIVE, 1), 0b1110, 4),
}


@pytest.mark.parametrize("expression", EXPRESSIONS)
def test_expression_has_its_value_and_width(expression: str) -> None:
    """Each word and operator gives the value and the width that its row promises."""
    result, value, width = EXPRESSIONS[expression]

    assert (value, width) == (result.value, result.width)


# What is written, and all that is said about it.
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "value wider than its width": (
        lambda: Bits(8, 3),
        "a value of 3 bits must lie between 0 and 7, not 8",
    ),
    "value below zero": (
        lambda: Bits(-1, 3),
        "a value of 3 bits must lie between 0 and 7, not -1",
    ),
    "no bits at all": (
        lambda: Bits(0, 0),
        "a value of 0 bits must lie between 0 and 0, not 0",
    ),
    "difference below zero": (
        lambda: FIVE - SEVEN,
        "a difference must not be negative: subtract of [Bits(5, 3), Bits(7, 3)], 0",
    ),
    "width that does not hold the value": (
        lambda: language.resize(SEVEN, 2),
        "a value must fit the stated width: resize of [Bits(7, 3)], 2",
    ),
    "shift left that loses a bit": (
        lambda: language.shift_left(FIVE, Bits(2, 2), 4),
        "a value shifted left must fit the stated width, the distance be less than it: "
        "shift_left_variable of [Bits(5, 3), Bits(2, 2)], 4",
    ),
    "shift left as far as the width": (
        lambda: language.shift_left(Bits(0, 3), Bits(3, 2), 3),
        "a value shifted left must fit the stated width, the distance be less than it: "
        "shift_left_variable of [Bits(0, 3), Bits(3, 2)], 3",
    ),
    "shift right as far as the width": (
        lambda: FIVE >> Bits(3, 2),
        "a distance must be less than the width of what is shifted: "
        "shift_right_variable of [Bits(5, 3), Bits(3, 2)], 0",
    ),
    "shift left by bits without a width": (
        lambda: FIVE << SEVEN,  # type: ignore[operator]
        "a shift left by a variable distance needs a stated width: shift_left(x, n, width)",
    ),
    "condition of several bits": (
        lambda: bool(FIVE),
        "a condition must be one bit wide, not 3; compare it, for example x != 0",
    ),
    "choice by several bits": (
        lambda: language.select(FIVE, 1, 2),
        "a condition must be one bit wide: select of [Bits(5, 3), Bits(1, 1), Bits(2, 2)], 0",
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_broken_side_condition_is_refused(what: str) -> None:
    """A step whose side condition fails raises, and says which, of what numbers."""
    written, message = REFUSED[what]

    with pytest.raises(WidthError) as caught:
        written()

    assert message == str(caught.value)


def test_bits_count_a_loop() -> None:
    """A number of bits says how often a loop runs."""
    assert [0, 1, 2, 3, 4] == list(range(FIVE))


def test_bits_cannot_be_keys() -> None:
    """Bits compare to bits, so they cannot be looked up."""
    with pytest.raises(TypeError, match="unhashable"):
        hash(FIVE)


def test_flags_are_signalled_if_their_condition_holds() -> None:
    """A flag is raised always, or where its one-bit condition is set; each block collects its own."""
    with signals() as outer:
        signal(Flags.INEXACT)
        with signals() as inner:
            signal(Flags.OVERFLOW, Bits(1, 1))
            signal(Flags.UNDERFLOW, Bits(0, 1))

    assert ([Flags.INEXACT], [Flags.OVERFLOW]) == (outer, inner)
