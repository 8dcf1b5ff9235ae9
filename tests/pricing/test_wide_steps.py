"""What is moved besides the native steps of wide steps, worked out by hand on CPUs that hold nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from softfloat_py.lowering.expansions import Value, expanded_for
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.figures import Quantity
from softfloat_py.pricing.native_steps import Shape
from softfloat_py.pricing.registers import Registers
from softfloat_py.pricing.wide_steps import StepSite, extra_moves_inside, most_words_inside
from tests.pricing.invented_cpu import INVENTED, C

BYTES = Machine(8, True, False, 8, False, 8)
ALONE = StepSite(outside_words=0, needed_later=(False, False), loop_words=0)
NOTHING = Registers(0, 0)
TWO_WORDS = (Value(16), Value(16))


@pytest.mark.parametrize(
    ("touched", "shape", "feature"),
    [
        (4 + 2, Shape("xor", TWO_WORDS, 0, 16), None),
        (4 + 2, Shape("add_modulo", TWO_WORDS, 0, 16), None),  # the carry is in a flag
        (4, Shape("less", TWO_WORDS, 0, 1), None),  # so is the outcome, and the differences go nowhere
        (2 + 2, Shape("shift_left", (Value(15),), 1, 16), 1),
        (2 + 1, Shape("xor", (Value(16, zeros=8), Value(16)), 0, 16), None),  # the lower word is that of y
    ],
)
def test_words_touched_without_registers(touched: int, shape: Shape, feature: int | None) -> None:
    """Where no word finds a register, each that is read or written lies in memory."""
    alone = ALONE._replace(needed_later=(False,) * len(shape.operands))

    assert touched == extra_moves_inside(shape, feature, BYTES, NOTHING, (), alone, C).spilled


def test_loop_around_a_step_decides_how_much_lies_in_memory() -> None:
    """A wide step in a loop has the share beyond the registers that the loop has at its fullest."""
    shape, registers = Shape("xor", TWO_WORDS, 0, 16), Registers(9, 0)

    for loop_words, share in ((0, 0), (10, 1 / 10), (12, 3 / 12)):
        site = ALONE._replace(loop_words=loop_words)
        assert 6 * share == extra_moves_inside(shape, None, BYTES, registers, (), site, C).spilled


PRODUCT = Shape("multiply", TWO_WORDS, 0, 32)


def test_others_are_put_away_for_a_product() -> None:
    """What a product does not touch leaves the registers before it, and comes back after it."""
    inside = most_words_inside(PRODUCT, BYTES, ALONE.needed_later)
    registers, site = Registers(inside + 2, 0), ALONE._replace(outside_words=5)

    assert 2 * 3 == extra_moves_inside(PRODUCT, 1, BYTES, registers, (), site, C).spilled


def test_compiler_says_how_often_a_word_is_moved_around_a_product() -> None:
    """Where compiled code fetches nothing back, each word is moved once."""
    inside = most_words_inside(PRODUCT, BYTES, ALONE.needed_later)
    registers, site = Registers(inside + 2, 0), ALONE._replace(outside_words=5)
    once = replace(C, moves_around_a_product=Quantity(1, INVENTED))

    assert 1 * 3 == extra_moves_inside(PRODUCT, 1, BYTES, registers, (), site, once).spilled


def test_digit_of_a_product_is_copied_while_it_is_needed() -> None:
    """Of four products of digits, only that of the two lowest has two factors that others need."""
    assert 1 == extra_moves_inside(PRODUCT, 1, BYTES, NOTHING, ("multiply",), ALONE, C).copied
    assert 0 == extra_moves_inside(PRODUCT, 1, BYTES, NOTHING, (), ALONE, C).copied


def test_expansions_are_made_anew_at_any_time() -> None:
    """Whoever prices many programs has an expansion made again, when it is no longer kept; what was found
    from the former one, whose steps are others, is not mixed with it.
    """
    shape, later = Shape("multiply", (Value(24), Value(16)), 0, 40), [(False, False), (True, False)]
    sites = [ALONE._replace(needed_later=needed) for needed in later]
    first = [extra_moves_inside(shape, 1, BYTES, NOTHING, (), site, C) for site in sites]

    for needed, site, moves in zip([(False, True), (True, True)], sites, first, strict=True):
        expanded_for.cache_clear()
        extra_moves_inside(shape, 1, BYTES, NOTHING, (), ALONE._replace(needed_later=needed), C)
        assert moves == extra_moves_inside(shape, 1, BYTES, NOTHING, (), site, C)
