"""Steps that are operations of C on whole types, priced by their width, on an invented CPU.

C is written for words of 16 bits; a step costs 100 on 16 bits and 300 on 32, a move 40 and 60.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from softfloat_py.integer_form.grammar import Constant
from softfloat_py.lowering.expansions import Value
from softfloat_py.pricing.compiler import IntegerTypes
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.figures import Price, Quantity
from softfloat_py.pricing.native_steps import Shape, native_steps
from softfloat_py.pricing.operations_of_c import nested_in
from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.routines.language import Bits, add_modulo, constant
from softfloat_py.routines.steps import COUNTED_KINDS
from tests.integer_form.small_routines import program
from tests.pricing.invented_cpu import INVENTED, C, invented_cpu
from tests.pricing.test_program_price import stretches

NARROW, WIDE = 100, 300
MOVES = {"move": (40, 60), "load_constant": (7, 9), "branch_taken": (3, 3), "branch_not_taken": (2, 2)}
IN_PLACE = replace(
    C,
    types=IntegerTypes((16, 32), INVENTED),
    word_of_c=Quantity(16, INVENTED),
    carries_between_words=False,
    moves_saved_in_expressions=Quantity(1, INVENTED),
)


def by_width(narrow: float, wide: float) -> tuple[Price, Price]:
    """A price of 16 bits and one of 32."""
    return Price(narrow, INVENTED, up_to_width=16), Price(wide, INVENTED, up_to_width=32)


def whole_types(**prices: tuple[float, float]) -> CostModel:
    """The CPU, with a product of bytes."""
    base = invented_cpu(32, compiler=IN_PLACE)
    steps: dict[str, tuple[Price, ...]] = {
        kind: by_width(NARROW, WIDE) for kind in COUNTED_KINDS if kind in base.steps
    }
    steps |= {kind: by_width(*pair) for kind, pair in (MOVES | prices).items()}
    steps["multiply"] = (Price(50, INVENTED),)
    return replace(base, machine=replace(base.machine, multiplier_bits=8, immediate_bits=32), steps=steps)


def joined(crest: Bits, trough: Bits) -> Bits:
    """Two operations in one expression."""
    return (crest & trough) | crest


def joined_twice(crest: Bits, trough: Bits) -> Bits:
    """A value that two operations need."""
    rise = crest & trough
    return (rise | crest) ^ rise


@pytest.mark.parametrize(("width", "step", "move"), [(11, NARROW, 40), (16, NARROW, 40), (23, WIDE, 60)])
def test_what_stands_within_an_expression_is_neither_put_away_nor_fetched(
    width: int, step: int, move: int
) -> None:
    """A value that one step makes for one other, or returns, saves a move of its type; one that two need does
    not.
    """
    once = program(joined, crest=width, trough=width)
    twice = program(joined_twice, crest=width, trough=width)

    assert [{"and": step - move, "or": step - move}] == stretches(whole_types(), once)
    assert [{"and": step, "or": step - move, "xor": step - move}] == stretches(whole_types(), twice)


@pytest.mark.parametrize(("moves", "step"), [(0, NARROW), (0.5, NARROW - 20)])
def test_as_much_is_saved_as_was_measured(moves: float, step: float) -> None:
    """A compiler may save but a part of the move, or have each operation put its result away."""
    model = whole_types()
    saved = Quantity(moves, INVENTED)
    put_away = replace(model, compiler=replace(IN_PLACE, moves_saved_in_expressions=saved))

    assert [{"and": step, "or": step}] == stretches(put_away, program(joined, crest=16, trough=16))


def lesser(crest: Bits, trough: Bits) -> Bits:
    """A value that goes on after a decision."""
    if crest < trough:
        crest = crest ^ trough
    else:
        crest = constant(0, crest.width)
    return crest


def test_what_goes_on_after_a_decision_is_put_away() -> None:
    """It is what a variable is set to, whichever side is taken; so is a constant, which is set in place."""
    read = program(lesser, crest=23, trough=23)

    assert frozenset() == nested_in(read)
    assert [
        {"compare": WIDE},
        {"branch_not_taken": 2, "xor": WIDE},
        {"branch_taken": 3, "load_constant": 9},
    ] == stretches(whole_types(), read)


def wrapped(crest: Bits, trough: Bits) -> Bits:
    """A sum in 11 bits, of which more are looked at."""
    total = add_modulo(crest, trough, 11)
    return (total << 4) ^ total


def test_what_wraps_around_is_masked_in_its_type() -> None:
    """C for words of 16 bits masks 11 bits by `&`, in one expression with the sum."""
    (cycles,) = stretches(whole_types(), program(wrapped, crest=11, trough=11))

    assert NARROW + (NARROW - 40) == cycles["add"]


@pytest.mark.parametrize(
    ("width", "distance", "expected"),
    [
        (32, 31, {(32, 16): 1, (16, 15): 1}),
        (31, 23, {(31, 16): 1, (15, 7): 1}),
        (32, 16, {(32, 16): 1}),
        (32, 3, {(32, 3): 1}),
        (16, 9, {(16, 9): 1}),
    ],
)
def test_shifts_go_by_whole_words_and_the_rest_apart(
    width: int, distance: int, expected: dict[tuple[int, int], int]
) -> None:
    """As in the emitted C, `(uint16_t)(x >> 16) >> 15`: the rest in the type that what is left has."""
    shape = Shape("shift_right", (Value(width),), distance, width - distance)

    steps = native_steps(shape, distance, whole_types().compiled_machine).steps
    assert expected == {(entry.width, entry.feature): times for entry, times in steps.items()}


def test_products_are_rows_of_products_of_bytes() -> None:
    """Of 16 bits by 16: four products. A digit is carried on to three of them, two more add to what stands
    there already, and of the four sums of 16 bits none is wider.
    """
    shape = Shape("multiply", (Value(16), Value(16)), 0, 32)
    steps = native_steps(shape, 8, whole_types().compiled_machine).steps

    assert 4 == sum(times for entry, times in steps.items() if entry.kind == "multiply")
    assert {16: 4} == {entry.width: times for entry, times in steps.items() if entry.kind == "add"}


def is_high(crest: Bits) -> Bits:
    """A decision by a constant."""
    if crest < 0x7F80:
        crest = crest ^ 1
    return crest


def is_level(crest: Bits) -> Bits:
    """One that is no order."""
    if crest == 0x7F80:
        crest = crest ^ 1
    return crest


def test_order_with_a_constant_may_have_a_price_of_its_own() -> None:
    """It is that of a comparison where there is none, and never that of two variables or of equality."""
    order, equality = (program(routine, crest=23) for routine in (is_high, is_level))
    cheaper = whole_types(order_with_constant=(12, 64))

    assert {"compare": WIDE} == stretches(whole_types(), order)[0]
    assert {"compare": 64} == stretches(cheaper, order)[0]
    assert {"compare": WIDE} == stretches(cheaper, equality)[0]
    assert {"compare": WIDE} == stretches(cheaper, program(lesser, crest=23, trough=23))[0]


def test_constants_do_not_stand_beside_steps() -> None:
    """C has them in its expressions, at the price of the operation."""
    shape = Shape("and", (Value(32), Constant(0x7F_FFFF, 23)), 0, 23)

    assert {} == native_steps(shape, None, whole_types().compiled_machine).loads


def test_cpu_by_itself_is_that_of_code_scheduled_by_hand() -> None:
    """A 6502 adds bytes, and has no shifter, whatever C that is compiled for it has."""
    compiled = cost_model("6502")

    assert (32, True) == (compiled.machine.word, compiled.machine.barrel_shifter)
    assert (8, False) == (compiled.of_the_cpu.machine.word, compiled.of_the_cpu.machine.barrel_shifter)
    assert whole_types().of_the_cpu.machine.word == 32
