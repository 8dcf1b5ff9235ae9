"""The language as a language: routines that nobody wrote run the same on every engine, and in C."""

from __future__ import annotations

from pathlib import Path

import pytest

from softfloat_py.engines.c.target import Target
from softfloat_py.routines.language import (
    Bits,
    Routine,
    add_modulo,
    concatenate,
    constant,
    field,
    resize,
    select,
    subtract_modulo,
    unrolled,
)
from tests.engines.random_campaign import fault_of
from tests.engines.random_routines import UNIFORM, made
from tests.engines.random_runs import TARGETS, Sample, differences, differences_in_c, random_sample, sample_of
from tests.engines.shrinking import shrunk

SEEDS = 200
IN_C = 20  # routines a target, for each others


@pytest.mark.parametrize("seed", range(SEEDS))
def test_random_routines_run_the_same_everywhere(seed: int) -> None:
    """Results and flags are those of Python itself, counts those of the steps, whatever the routine is."""
    assert [] == differences(random_sample(seed))


@pytest.mark.parametrize("target", TARGETS, ids=str)
def test_random_routines_run_the_same_in_c(target: Target, tmp_path: Path) -> None:
    """Emitted for any word and multiplier, a routine gives the bits and flags of Python itself."""
    first = IN_C * TARGETS.index(target)
    samples = [random_sample(seed) for seed in range(first, first + IN_C)]

    assert [] == differences_in_c(samples, target, tmp_path)


def shifted_out_of_one_bit(x: Bits) -> Bits:
    """Nothing is left of a bit that is shifted out, and all ones of its complement."""
    return resize(~((x & 1) >> 1), 8) + 1


def product_on_one_side(x: Bits, y: Bits) -> Bits:
    """A parameter whose set bits are met on one side of an `if` alone."""
    if x == 0:
        return y * y
    return y + (y << 7)


def choice_between_a_choice(x: Bits, y: Bits, direction: Bits) -> Bits:
    """A choice by the direction whose first side is the smaller of two."""
    return select(direction == 1, select(x < y, x, y), y)


def wrapping_in_one_bit(x: Bits, y: Bits) -> Bits:
    """Sums and differences of one bit, where numpy's truths know none."""
    low, other = x & 1, y & 1
    difference = (low | other) - other
    return add_modulo(low, other, 1) + subtract_modulo(low, other, 1) + difference


def wide_constants_beside_narrow_results(x: Bits, y: Bits) -> Bits:
    """Constants of which a step uses the lowest bits only, on either side."""
    return add_modulo(0x40001, x, 7) + subtract_modulo(y, 0x40001, 7) + (x & 0x301)


def choice_without_a_choice(x: Bits, y: Bits, direction: Bits) -> Bits:
    """A choice that is fixed, of what is the same for all elements."""
    if x == y:
        return resize(select(0 < resize(x & 0, 8), x, resize(direction, 5)), 9)
    return resize(x, 9)


def rounds_that_end_in_a_constant(x: Bits) -> Bits:
    """What a loop carries from round to round becomes the same for all elements."""
    y = x
    for _ in range(3):
        y = resize(x & 0, 8)
    return y << 2


def same_feature_before_and_after_a_return(x: Bits, y: Bits) -> Bits:
    """Two products with the same multiplier, between which some have returned."""
    first = y * x
    if y < 7:
        return first
    return resize((y + 1) * x, 16) ^ 1


def difference_on_one_side(x: Bits, y: Bits) -> Bits:
    """One bit less another, on one side of an `if` alone."""
    bit = x & 1
    if y < 90:
        bit = bit - (bit & y)
    return bit + 1


def return_in_a_round(x: Bits, y: Bits) -> Bits:
    """A loop that is written out ends with the round that returns."""
    for i in unrolled(3):
        if x == i:
            return resize(y + i, 9)
        if y == 7:
            return resize(x, 9)
        return resize(y, 9)
    return resize(x + y, 9)


def product_that_few_digits_hold(x: Bits, y: Bits) -> Bits:
    """A product of a wide factor and a narrow one, which has fewer digits than both together."""
    wide = (x << 11) | y
    return (wide * y) ^ (wide * (y & 1))


def product_whose_carry_has_no_place(x: Bits, y: Bits) -> Bits:
    """A product of 37 and 13 bits, which words of 64 bits hold: three digits of 32 bits do not fit there."""
    return ((x << 29) | y) * ((y << 5) | 1)


def complement_of_a_truth_in_more_bits(x: Bits, y: Bits) -> Bits:
    """All bits of a truth that has been given more: not the other truth."""
    return ~resize(x == y, 16)


def choice_of_constants_shifted_far(x: Bits, y: Bits) -> Bits:
    """What is chosen are small constants, which C takes for an `int`, and shifts beyond it."""
    return select(x < y, 2, 5) << 33


def truth_that_one_side_fixes(x: Bits, y: Bits, direction: Bits) -> Bits:
    """A truth that is a number of the text on a side with a return in it, and looked at as a truth later."""
    if x > direction:
        truth = y & 1
    else:
        if y > 200:
            return resize(direction, 70)
        truth = constant(1, 1)
    return resize(~truth, 70)


def truth_that_the_direction_fixes(x: Bits, y: Bits, direction: Bits) -> Bits:
    """A truth that is a number of the text on both sides of a choice by the direction."""
    if direction == 1:
        truth = constant(1, 1)
    else:
        truth = constant(0, 1)
    return resize(~((x & 1) | truth), 8) + y


def truth_that_a_loop_fixes(x: Bits, y: Bits, direction: Bits) -> Bits:
    """A truth that is a number of the text in the first round, and the same for all elements in others."""
    truth = constant(1, 1)
    for _ in range(3):
        y = add_modulo(y, resize(~((x & 1) & truth), 8), 8)
        truth = direction == 1
    return y


def mask_wider_than_what_it_leaves(x: Bits, y: Bits) -> Bits:
    """A mask with zeros above its highest one, of bits out of the midst of a wide value."""
    wide = resize((x << 32) | y, 70)
    return constant(2, 20) & field(wide & 0xFFFFFFFFFF, 29, 12)


def difference_in_fewer_bits_on_one_side(x: Bits, y: Bits) -> Bits:
    """A difference that wraps around in fewer bits than what the other side leaves alone."""
    if y < 100:
        x = resize(subtract_modulo(x, y, 6), 8)
    return x


def condition_that_words_decide(x: Bits, y: Bits) -> Bits:
    """Two numbers of several words whose lowest words differ whatever the operands are."""
    if concatenate(x, constant(0, 64)) == concatenate(y, constant(1, 64)):
        return x * y
    return resize(x + y, 16)


BY_HAND: list[Routine] = [
    truth_that_the_direction_fixes,
    truth_that_a_loop_fixes,
    difference_in_fewer_bits_on_one_side,
    mask_wider_than_what_it_leaves,
    truth_that_one_side_fixes,
    complement_of_a_truth_in_more_bits,
    choice_of_constants_shifted_far,
    condition_that_words_decide,
    return_in_a_round,
    product_that_few_digits_hold,
    product_whose_carry_has_no_place,
    shifted_out_of_one_bit,
    product_on_one_side,
    choice_between_a_choice,
    wrapping_in_one_bit,
    wide_constants_beside_narrow_results,
    choice_without_a_choice,
    rounds_that_end_in_a_constant,
    same_feature_before_and_after_a_return,
    difference_on_one_side,
]


def by_hand(routine: Routine) -> Sample:
    """A routine of eight-bit operands with rows of them."""
    widths = {name: 3 if name == UNIFORM else 8 for name in routine.__annotations__ if name != "return"}
    return sample_of(routine, widths, 5, (0, 1))


@pytest.mark.parametrize("routine", BY_HAND, ids=lambda routine: routine.__name__)
def test_edges_of_the_language_run_the_same_everywhere(routine: Routine) -> None:
    """What no operation has needed so far is right as well."""
    assert [] == differences(by_hand(routine))


@pytest.mark.parametrize("target", TARGETS, ids=str)
def test_edges_of_the_language_run_the_same_in_c(target: Target, tmp_path: Path) -> None:
    """They compile without a warning, and give what Python itself does."""
    assert [] == differences_in_c([by_hand(routine) for routine in BY_HAND], target, tmp_path)


def test_a_fault_is_shown_in_a_short_routine() -> None:
    """All that a fault does not need is left out of a routine, inner expressions included."""
    text = made(3).text
    shortest = shrunk(text, lambda shorter: "count_leading_zeros(" in shorter)

    assert 10 < len(text.splitlines())
    assert 2 >= len(shortest.splitlines())
    assert 1 == shortest.count("count_leading_zeros(")


def test_a_campaign_tells_what_is_wrong_and_where() -> None:
    """What an engine raises is a fault as well; a right routine has none."""

    def fails(sample: Sample) -> list[str]:
        raise LookupError("no such wave")

    assert "LookupError: no such wave" == fault_of(made(3), 3, fails)
    assert "" == fault_of(made(3), 3, differences)
