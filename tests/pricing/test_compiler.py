"""What compilers do, as data: what is refused, and what depends on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace

import pytest

from softfloat_py.errors import CostModelError
from softfloat_py.lowering.machine import Habits, Machine
from softfloat_py.pricing.compiler import IntegerTypes, Limits
from softfloat_py.pricing.figures import Origin, Quantity
from softfloat_py.pricing.rules import words_of_value
from softfloat_py.pricing.table_reader import cost_model, usual_compiler
from tests.pricing.invented_cpu import INVENTED, C


@pytest.mark.parametrize(
    ("fault", "build"),
    [
        ("bits must be whole bytes, narrowest first, not [0, 8]", lambda: IntegerTypes((0, 8), INVENTED)),
        ("bits must be whole bytes, narrowest first, not [12]", lambda: IntegerTypes((12,), INVENTED)),
        ("bits must be whole bytes, narrowest first, not [16, 8]", lambda: IntegerTypes((16, 8), INVENTED)),
        ("highest must be at least lowest (2), not 1", lambda: Limits(2, 1, INVENTED)),
        (
            "put_away_bits.value must be the bits of a type, not 24",
            lambda: replace(C, put_away_bits=Quantity(24, INVENTED)),
        ),
        (
            "put_away_bits.value must be whole bytes, not 12",
            lambda: replace(C, types=IntegerTypes((), INVENTED), put_away_bits=Quantity(12, INVENTED)),
        ),
        (
            "moves_around_a_product.value must be 0 or more, not -2",
            lambda: replace(C, moves_around_a_product=Quantity(-2, INVENTED)),
        ),
        (
            "word_of_c.value must be 8 or 16, or 0 for none, not 32",
            lambda: replace(C, word_of_c=Quantity(32, INVENTED)),
        ),
    ],
)
def test_parts_of_a_compiler_check_themselves(fault: str, build: Callable[[], object]) -> None:
    """Types rise, values are put away by whole types, shares are shares, and no moves are negative."""
    with pytest.raises(CostModelError) as caught:
        build()

    assert (fault,) == caught.value.faults


def test_moves_a_step_are_within_what_a_compiler_may_be_ascribed() -> None:
    """A figure beyond the compiler's limits is refused, whichever the limits are."""
    base = cost_model("atmega")
    code = replace(base.surrounding_code, moves_a_step=Quantity(17, INVENTED))
    wider = replace(base.compiler, moves_a_step=Limits(0, 20, INVENTED))

    with pytest.raises(
        CostModelError, match=r"moves_a_step.value must be moves a step, from -0.5 to 10, not 17"
    ):
        replace(base, surrounding_code=code)
    assert 17 == replace(base, surrounding_code=code, compiler=wider).surrounding_code.moves_a_step.value


def test_widest_type_takes_whole_words() -> None:
    """A carry goes on within the widest type, word by word: a type that ends inside a word is refused."""
    compiler = replace(C, types=IntegerTypes((8, 24), INVENTED), put_away_bits=Quantity(24, INVENTED))
    fault = "compiler.types.bits must end in whole words of 16 bits or within one, not in 24"

    with pytest.raises(CostModelError) as caught:
        replace(cost_model("msp430").of_the_cpu, compiler=compiler)

    assert (fault,) == caught.value.faults
    assert [24, 0] == [
        replace(cost_model(cpu), compiler=compiler).compiled_machine.habits.carry_reach
        for cpu in ("atmega", "mc68000")
    ]


def test_carries_go_as_far_as_the_compiler_takes_them() -> None:
    """On a CPU of bytes within the widest type; on one of 32 bits from word to word, or not at all."""
    small, wide = cost_model("atmega"), cost_model("mc68000")
    not_on = replace(wide, compiler=replace(wide.compiler, carries_between_words=False))

    assert Habits(carry_reach=32, address_bits=16, digit_rows=True) == small.compiled_machine.habits
    assert Habits(address_bits=32) == wide.compiled_machine.habits
    assert wide.compiled_machine.carry_flag
    assert not not_on.compiled_machine.carry_flag


def test_products_may_be_shifts_and_additions_in_c() -> None:
    """Where C has no products, those of the CPU are of no use to it."""
    base = cost_model("atmega")
    without = replace(base, compiler=replace(base.compiler, products_left_to_the_compiler=False))

    assert (8, 8) == (base.compiled_machine.multiplier_bits, without.machine.multiplier_bits)
    assert 0 == without.compiled_machine.multiplier_bits


@pytest.mark.parametrize(("words", "word"), [(5, 8), (3, 16), (2, 32)])
def test_without_types_a_value_takes_the_words_that_it_needs(words: int, word: int) -> None:
    """Code for the words of a CPU holds 40 bits in no more of them than they fill, and all carry on."""
    by_hand = replace(C, types=IntegerTypes((), INVENTED), put_away_bits=Quantity(8, INVENTED))
    cpu = Machine(word, True, False, 0, False, immediate_bits=0)

    assert words == words_of_value(40, word, by_hand)
    habits = Habits(address_bits=max(word, 16), digit_rows=word < 32)
    assert replace(cpu, habits=habits) == by_hand.machine(cpu)


def test_every_habit_has_a_source() -> None:
    """Of all that compilers are said to do, but for what a model decides by itself, the origin is known."""
    usual = usual_compiler()
    habits = {each.name: getattr(usual, each.name) for each in fields(usual)}

    assert True is habits.pop("carries_between_words")
    assert True is habits.pop("products_left_to_the_compiler")
    assert 7 == len(habits)
    assert [] == [name for name, habit in habits.items() if not isinstance(habit.origin, Origin)]
    assert [] == [name for name, habit in habits.items() if not habit.origin.derivation]


def test_bytes_and_half_words_wrap_by_themselves_without_types_too() -> None:
    """Code by hand takes them as C takes its types; in five or eleven bits it masks."""
    by_hand = IntegerTypes((), INVENTED)

    assert [8, 8, 16, 32] == [by_hand.wrapping_bits(width, 32) for width in (5, 8, 11, 32)]
    assert [8, 16, 48] == [by_hand.wrapping_bits(width, 16) for width in (8, 16, 40)]
    assert [16, 16] == [IntegerTypes((16, 32), INVENTED).wrapping_bits(width, 8) for width in (5, 16)]
