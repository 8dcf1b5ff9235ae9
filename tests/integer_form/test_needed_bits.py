"""Bits that are looked at: worked out by hand, and results that do not hang on the others."""

from __future__ import annotations

from softfloat_py.integer_form.needed_bits import needed_bits
from softfloat_py.routines.language import Bits, field, resize
from tests.integer_form.small_routines import program


def masked(crest: Bits, trough: Bits) -> Bits:
    """Values under masks, and one that is used without a mask too."""
    lowered = crest >> 3
    foam = lowered & 0x5
    risen = trough >> 2
    both = field(risen, 0, 2) + (risen & 0x8)
    whole = trough >> 1
    if whole & 1:
        foam = resize(whole, 8)
    else:
        foam = resize(foam, 8)
    return foam + both


def test_masks_say_how_many_bits_are_needed() -> None:
    """A value is needed as far up as the largest mask over it; all of it is where one use has no mask."""
    read = program(masked, crest=16, trough=8)

    assert {"lowered": 3, "risen": 4} == {variable.name: n for variable, n in needed_bits(read).items()}
