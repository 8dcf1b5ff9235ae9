"""What one instruction does of several steps, what masks take, and what flags tell, on an invented CPU."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from softfloat_py.integer_form.grammar import Program
from softfloat_py.pricing.figures import Price
from softfloat_py.pricing.native_steps import load_of
from softfloat_py.pricing.wraps import wraps_of
from softfloat_py.routines.language import Bits, add_modulo, phase, subtract_modulo
from tests.integer_form.small_routines import program
from tests.pricing import invented_cpu
from tests.pricing.invented_cpu import INVENTED, C
from tests.pricing.test_program_price import LOAD_CONSTANT, stretches


def first_stretch(routine: Program, condition_as_value: float = 0, **abilities: Any) -> dict[str, float]:
    """The cycles of the first stretch on a CPU with some abilities more."""
    model = invented_cpu.invented_cpu(32, condition_as_value=Price(condition_as_value, INVENTED))
    return stretches(replace(model, machine=replace(model.machine, **abilities)), routine)[0]


def shifted_and_joined(crest: Bits, trough: Bits) -> Bits:
    """A shift that one step uses."""
    return (crest >> 3) ^ trough


def shifted_and_used_twice(crest: Bits, trough: Bits) -> Bits:
    """A shift that two steps use."""
    lowered = crest >> 3
    return (lowered ^ trough) & lowered


def test_shift_is_part_of_the_only_step_that_uses_it() -> None:
    """Where operands may be shifted, it takes nothing; used twice, it is a step of its own."""
    once = program(shifted_and_joined, crest=32, trough=32)
    twice = program(shifted_and_used_twice, crest=32, trough=32)

    assert {"shift_right": 1, "xor": 1} == first_stretch(once)
    assert {"xor": 1} == first_stretch(once, shifted_operands=True)
    assert {"shift_right": 1, "xor": 1, "and": 1} == first_stretch(twice, shifted_operands=True)


def test_shifts_across_words_are_folded_too() -> None:
    """Of two words, each is a shift and a union with the other's bits; the upper one is a shift alone. The
    shift to the left is part of the union.
    """
    wide = program(shifted_and_joined, crest=64, trough=64)

    assert {"shift_right": 1 + 3, "xor": 2} == first_stretch(wide)
    assert {"shift_right": 1 + 2, "xor": 2} == first_stretch(wide, shifted_operands=True)


def field_of(crest: Bits) -> Bits:
    """Eleven bits from the middle of a word."""
    return (crest >> 9) & 0x7FF


def lowest_of(crest: Bits) -> Bits:
    """The lowest eleven bits of a word."""
    return crest & 0x7FF


def test_field_is_one_instruction_where_there_is_one() -> None:
    """Shift and mask together are one step; a field wider than instructions take is not."""
    field = program(field_of, crest=32)

    assert {"and": 1} == first_stretch(field, bit_field_bits=32)
    assert {"shift_right": 1, "and": 1} == first_stretch(field, bit_field_bits=10)


def test_mask_is_shifted_out_and_back_where_that_is_quicker_than_a_constant() -> None:
    """Two shifts in place of a constant and a step; after a shift, one in place of both."""
    assert {"and": 2} == first_stretch(program(lowest_of, crest=32))
    assert {"shift_right": 1, "and": 1} == first_stretch(program(field_of, crest=32))
    assert {"and": 1, "load_constant": LOAD_CONSTANT} == first_stretch(
        program(lowest_of, crest=32), barrel_shifter=False
    )


@pytest.mark.parametrize(
    ("kind", "constant", "is_part"),
    [
        ("xor", 0xB << 20, True),  # four bits anywhere
        ("xor", 0x17 << 20, False),  # five
        ("and", 0xFFFFFFFF ^ 0xB << 20, True),  # by clearing them
        ("xor", 0xFFFFFFFF ^ 0xB << 20, False),
        ("add", 2**32 - 7, True),  # by subtracting
        (None, 0xB << 20, True),  # a move
    ],
)
def test_immediates_that_stand_anywhere(kind: str | None, constant: int, is_part: bool) -> None:
    """They are part of the instruction, and so are those that another instruction takes in their place."""
    machine = replace(invented_cpu.invented_cpu(32).machine, shifted_immediates=True)

    assert is_part == (load_of(constant, machine, kind) is None)


def calm(crest: Bits, trough: Bits) -> Bits:
    """A branch on a difference that is zero."""
    phase("order")
    if crest ^ trough == 0:
        crest = trough
    return crest


def calm_some_time_ago(crest: Bits, trough: Bits) -> Bits:
    """The same, after another step."""
    phase("order")
    rise = crest ^ trough
    fall = crest & trough
    if rise == 0:
        crest = trough
    return crest ^ rise ^ fall ^ (fall >> 1)


def test_flags_tell_of_the_step_before_whether_it_gave_zero() -> None:
    """A comparison with zero takes nothing right after the step, and something later."""
    at_once = program(calm, crest=8, trough=8)
    later = program(calm_some_time_ago, crest=8, trough=8)

    assert {"xor": 1, "compare": 1} == first_stretch(at_once)
    assert {"xor": 1} == first_stretch(at_once, results_set_flags=True)
    assert 1 == first_stretch(later, results_set_flags=True)["compare"]


def test_outcome_that_is_but_added_is_done_on_the_condition() -> None:
    """In place of a number there is what a choice takes beyond a move."""
    marked = program(invented_cpu.marked, crest=8, limit=8)
    model = invented_cpu.invented_cpu(
        32, {**invented_cpu.PRICES, "move": 1, "select": 2}, condition_as_value=Price(9, INVENTED)
    )
    on_condition = replace(model, machine=replace(model.machine, conditional_execution=True))

    assert {"compare": 1 + 9, "or": 1} == stretches(model, marked)[0]
    assert {"compare": 1 + 1, "or": 1} == stretches(on_condition, marked)[0]


def wrapped_and_compared(crest: Bits, trough: Bits) -> Bits:
    """A sum in eleven bits that is compared."""
    phase("order")
    swell = add_modulo(crest, trough, 11)
    if swell > trough:
        crest = swell
    return crest


def wrapped_and_shifted_out(crest: Bits, trough: Bits) -> Bits:
    """A sum in eleven bits, whose place is the top of a word."""
    return add_modulo(crest, trough, 11) << 21


def wrapped_twice(crest: Bits, trough: Bits) -> Bits:
    """Of two sums the second alone is looked at."""
    return subtract_modulo(add_modulo(crest, trough, 11), 3, 11)


@pytest.mark.parametrize(
    ("masked", "routine", "width"),
    [
        ([11], wrapped_and_compared, 11),
        ([], wrapped_and_shifted_out, 11),
        ([11], wrapped_twice, 11),
    ],
)
def test_sums_that_wrap_around_are_masked_where_it_is_seen(
    masked: list[int], routine: Any, width: int
) -> None:
    """C has no type of eleven bits; what is shifted out at the top of a type needs no mask."""
    read = program(routine, crest=width, trough=width)

    assert masked == list(wraps_of(read, 32, C.types).values())


def test_sum_in_the_bits_of_a_type_is_not_masked() -> None:
    """A sum in 16 bits wraps around by itself in a type of 16, and on words of 16."""
    read = program(wrapped_and_compared, crest=11, trough=11)

    assert [11] == list(wraps_of(read, 16, C.types).values())
    assert [3] == list(wraps_of(read, 8, C.types).values())  # of its upper byte


def test_mask_of_what_wraps_is_priced_with_the_sum() -> None:
    """Two shifts beside the sum, where the mask is no immediate."""
    read = program(wrapped_and_compared, crest=11, trough=11)

    assert {"add": 1 + 2, "compare": 1} == first_stretch(read)
