"""What stays put away from one product to the next, on an invented CPU."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from softfloat_py.pricing.staying import staying_values
from softfloat_py.routines.language import Bits, phase
from tests.integer_form.small_routines import program


def untouched(crest: Bits, trough: Bits, swell: Bits) -> Bits:
    """Two products, and a value that only the end needs."""
    rise = crest * trough
    fall = rise * trough
    return fall ^ swell


def touched(crest: Bits, trough: Bits, swell: Bits) -> Bits:
    """The same, with a use of that value between the products."""
    rise = crest * trough
    fall = (rise | swell) * trough
    return fall ^ swell


def in_rounds(crest: Bits, trough: Bits, swell: Bits) -> Bits:
    """A product in each round of a loop, and one after it."""
    phase("multiply")
    rise = crest * trough
    for _ in range(4):
        crest = crest ^ swell
    fall = rise * trough
    return fall ^ swell ^ crest


def on_one_side(crest: Bits, trough: Bits, swell: Bits) -> Bits:
    """A use on one of two sides between two products."""
    phase("order")
    rise = crest * trough
    if crest > trough:
        crest = crest ^ swell
    fall = rise * trough
    return fall ^ swell ^ crest


@pytest.mark.parametrize(
    ("staying", "routine"),
    [
        ([set(), {"swell"}], untouched),
        ([set(), set()], touched),
        ([set(), set()], in_rounds),
        ([set(), set()], on_one_side),
    ],
)
def test_what_nothing_touches_stays_put_away(staying: list[set[str]], routine: Callable[..., Bits]) -> None:
    """Nothing is away before the first product; a use between the two fetches back, on whichever side."""
    read = program(routine, crest=8, trough=8, swell=8)
    found = staying_values(read, native=frozenset())

    assert staying == [{value.name for value in found[step]} for step in found]
