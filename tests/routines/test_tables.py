"""Constant tables: their widths, their words, where their entries lie, and what is no table."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from softfloat_py.errors import WidthError
from softfloat_py.routines.tables import Table, base_address, table_of

TIDES = Table((0x1230, 0x4560, 0x70), 20, "tides")


@pytest.mark.parametrize(("width", "entries"), [(1, (0,)), (1, (1, 0)), (4, (3, 12)), (9, (256, 255))])
def test_entries_are_as_wide_as_the_widest(width: int, entries: tuple[int, ...]) -> None:
    """Where no width is stated, entries have as many bits as the largest needs, and at least one."""
    assert width == table_of(entries).width


def test_a_table_is_taken_as_it_is() -> None:
    """Its width may be more than its entries need."""
    assert 20 == table_of(TIDES).width


@pytest.mark.parametrize(("place", "width", "entries"), [(0, 8, (0x30, 0x60, 0x70)), (2, 4, (0, 0, 0))])
def test_words_of_entries_are_a_table(place: int, width: int, entries: tuple[int, ...]) -> None:
    """Cut into bytes, the last of less than a byte, which know the table they are of."""
    word = TIDES.word(place, 8)

    assert (width, entries, TIDES, place) == (word.width, word.entries, word.whole, word.place)


def test_entries_of_one_word_are_not_cut() -> None:
    """A word at least as wide as the entries is the table itself."""
    assert TIDES is TIDES.word(0, 32)


@pytest.mark.parametrize(
    ("stride", "width"), [(1, 1), (1, 8), (2, 9), (4, 17), (4, 32), (8, 33), (12, 68), (16, 100)]
)
def test_entries_lie_in_integer_types(stride: int, width: int) -> None:
    """One of 8, 16 or 32 bits, or several of 32."""
    assert stride == Table((1,), width).stride


def test_an_address_leads_to_its_entry() -> None:
    """The entries begin at the base, a stride apart; between them, before and behind there is none."""
    base = base_address(16)
    found = {n: TIDES.index_at(base + n, 16) for n in range(-4, 16)}

    assert {0: 0, 4: 1, 8: 2} == {n: index for n, index in found.items() if index is not None}


def test_zeros_that_all_entries_end_in_are_known() -> None:
    """As many as the entry with the fewest has."""
    assert (4, 20) == (TIDES.known_zeros, Table((0, 0), 20).known_zeros)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Table(()), r"whole numbers of 0 and more as entries, not \(\)"),
        (lambda: Table((1, -1)), r"whole numbers of 0 and more as entries, not \(1, -1\)"),
        (lambda: Table((1, 0.5)), r"whole numbers of 0 and more as entries, not \(1, 0.5\)"),  # type: ignore[arg-type]
        (lambda: Table((1, 9), 3, "low"), "entries of low must fit 3 bits, and take 4"),
        (lambda: Table((1,), name="two words"), "name of a table must be one of Python's and C's, not 'two"),
    ],
)
def test_what_is_no_table_is_refused(make: Callable[[], Any], said: str) -> None:
    """Entries are whole numbers that fit, and the name is one that C can have."""
    with pytest.raises(WidthError, match=said):
        make()
