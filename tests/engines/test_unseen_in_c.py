"""What nobody looks at is not in emitted C: parts of words that lie above all that is used of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from softfloat_py.engines.c.files import Unit
from softfloat_py.engines.c.target import Target, target_for
from softfloat_py.routines.language import (
    Bits,
    Routine,
    add_modulo,
    field,
    resize,
    select,
    subtract_modulo,
)
from tests.engines.random_runs import TARGETS, Sample, differences_in_c, function_of, sample_of


def lowest_byte(x: Bits, y: Bits) -> Bits:
    """The lowest byte of what a wide shift puts together: all of it is of x."""
    return field((x >> 8) | (y << 24), 0, 8)


def behind_sums(x: Bits, y: Bits) -> Bits:
    """The same behind steps whose lowest bits come from lowest bits alone."""
    total = add_modulo(select(x < 9, x, (x >> 8) | (y << 24)), 5, 32)
    return subtract_modulo(total ^ (y << 9), x, 32) & 0x7F


def under_a_narrow_mask(x: Bits, y: Bits) -> Bits:
    """A mask of 8 bits that only a run knows hides what lies above it."""
    return ((x >> 8) | (y << 8)) & (y & 0xFF)


def some_of_both(x: Bits, y: Bits) -> Bits:
    """One bit more than what is of x alone."""
    return field((x >> 8) | (y << 24), 0, 25)


def as_a_truth(x: Bits, y: Bits) -> Bits:
    """A value that is known to be a truth, of parts that cancel each other above it."""
    wide = (x & 0xFF00) ^ (y << 16)
    if resize(wide ^ (y << 16) ^ (x & 0xFF00) ^ (x & 1), 1):
        return x
    return y


ONLY_OF_X = (lowest_byte, behind_sums, under_a_narrow_mask)
ROUTINES = (*ONLY_OF_X, some_of_both, as_a_truth)


def sample(routine: Routine) -> Sample:
    """A routine with operands."""
    return sample_of(routine, {"x": 32, "y": 32}, 5)


@pytest.mark.parametrize("target", TARGETS, ids=str)
def test_c_still_gives_what_a_routine_says(target: Target, tmp_path: Path) -> None:
    """For any word and multiplier, whatever is left out."""
    assert [] == differences_in_c([sample(routine) for routine in ROUTINES], target, tmp_path)


def source(routine: Routine, word: int) -> str:
    """The C of a routine."""
    function = function_of(sample(routine), "lowest")
    return Unit("buoy", "Lowest bits.", "", target_for(word), (function,)).source()


@pytest.mark.parametrize("routine", ONLY_OF_X)
@pytest.mark.parametrize("word", [8, 16, 32, 64])
def test_a_part_above_what_is_used_is_left_out(routine: Routine, word: int) -> None:
    """No shift to the left is written whose bits nobody looks at."""
    assert "<<" not in source(routine, word)


@pytest.mark.parametrize("word", [8, 32])
def test_a_part_of_which_a_bit_is_used_stays(word: int) -> None:
    """One bit of the other word is enough."""
    assert "<< 24" in source(some_of_both, word)
