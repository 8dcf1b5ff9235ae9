"""What steps become on a machine: constants that must be loaded, words that no step is needed for."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from softfloat_py.integer_form.grammar import Constant, Step
from softfloat_py.lowering.expansions import Value
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.native_steps import Shape, load_of, native_steps, shape_of
from softfloat_py.routines.language import Bits, field
from tests.integer_form.small_routines import program

WORDS = Machine(32, False, True, 32, False, immediate_bits=11, upper_immediate_bits=20)
WORDS_AND_DIVIDER = replace(WORDS, dividend_bits=32, divisor_bits=32)
PAIRS_AND_DIVIDER = Machine(16, True, True, 16, False, 0, dividend_bits=32, divisor_bits=16)
BYTES = Machine(8, True, False, 0, False, immediate_bits=8)


@pytest.mark.parametrize(
    ("kind", "constant"),
    [
        (None, 0),
        (None, 0x7FF),
        ("load_constant", 0x800),
        ("move", 0x1000),
        ("move", 0x7FF0_0000),
        ("move", 0xFFFF_F000),
        ("load_constant", 0x7FF0_0800),
        ("load_constant", 0x007F_FFFF),
    ],
)
def test_load_of_a_constant(kind: str | None, constant: int) -> None:
    """With immediates of 11 bits and a load of the upper 20, as RISC-V has it (The RISC-V Instruction Set
    Manual, volume I, LUI): 0x1000 is one instruction, 0x800 two.
    """
    load = load_of(constant, WORDS)

    assert kind == (None if load is None else load.kind)


def test_without_upper_immediates_zero_bits_below_are_no_help() -> None:
    """A constant wider than an immediate is loaded, whatever bits are set in it; so is 0 without any."""
    plain = replace(WORDS, upper_immediate_bits=0)
    without = replace(plain, immediate_bits=0)

    assert ["load_constant"] * 2 == [
        load.kind for load in (load_of(0x1000, plain), load_of(0, without)) if load is not None
    ]


def test_constants_of_an_expansion_are_told_apart_by_value() -> None:
    """Of a constant of 64 bits one word is an immediate, the other one instruction."""
    shape = Shape("or", (Value(64), Constant(0x7FF0_0000_0000_0001, 63)), 0, 64)

    assert [("move", 1)] == [(load.kind, n) for load, n in native_steps(shape, None, WORDS).loads.items()]


@pytest.mark.parametrize(
    ("steps", "machine", "dividend"),
    [
        ({("divide", 31): 1}, WORDS_AND_DIVIDER, 31),
        ({("divide", 31): 1}, PAIRS_AND_DIVIDER, 31),  # the pair of registers that holds the dividend
        ({("divide", 16): 1}, PAIRS_AND_DIVIDER, 16),
    ],
)
def test_a_divider_takes_one_step(steps: dict[tuple[str, int], int], machine: Machine, dividend: int) -> None:
    """A dividend of one register, or of two where the divider takes them, is divided by one instruction."""
    shape = Shape("divide", (Value(dividend), Value(16)), 16, 16)

    assert steps == {(e.kind, e.width): n for e, n in native_steps(shape, None, machine).steps.items()}


@pytest.mark.parametrize(
    ("dividend", "divisor", "quotient"), [(32, 8, 17), (33, 16, 16), (17, 17, 1)], ids=str
)
def test_what_a_divider_does_not_take_is_subtracted(dividend: int, divisor: int, quotient: int) -> None:
    """Beyond 32 bits by 16, and a quotient of 16, a bit a round: as many are counted down as it has."""
    shape = Shape("divide", (Value(dividend), Value(divisor)), quotient, quotient)
    kinds: Counter[str] = Counter()
    for entry, times in native_steps(shape, None, PAIRS_AND_DIVIDER).steps.items():
        kinds[entry.kind] += times

    assert 0 == kinds["divide"]
    assert quotient == kinds["branch_taken"] + kinds["branch_not_taken"]


def packed(exponent: Bits, significand: Bits) -> Bits:
    """An exponent above 24 bits, and a significand added to it."""
    return (exponent << 24) + significand


def test_words_that_are_always_zero_take_no_step() -> None:
    """Three of four bytes that are added to are zero: only the highest is added."""
    read = program(packed, exponent=8, significand=32)
    shift, add = (step for step in read.body.statements if isinstance(step, Step))
    shape = shape_of(add, read, BYTES.word)

    assert (Value(32, zeros=24), Value(32)) == shape.operands
    assert {"add_with_carry": 1} == {
        entry.kind: n for entry, n in native_steps(shape, None, BYTES).steps.items()
    }
    assert shift.kind.name == "shift_left"


def picked(crest: Bits) -> Bits:
    """One bit of the lowest byte, and two that lie in different ones."""
    return field(crest, 3, 1) + field(crest, 7, 2)


def test_bits_of_the_lowest_word_are_shifted_in_that_word() -> None:
    """Three places in one byte bring down the bit that a mask leaves; where it leaves bits of two bytes, all
    of the value is shifted, as it is in words of 32 bits.
    """
    read = program(picked, crest=32)
    one, two = (s for s in read.body.all_steps() if s.kind.name == "shift_right")

    assert [(Value(4),), (Value(32),)] == [shape_of(s, read, BYTES.word).operands for s in (one, two)]
    assert {("shift_right_through_carry", 9): 3} == {
        (entry.kind, entry.width): n
        for entry, n in native_steps(shape_of(one, read, BYTES.word), 3, BYTES).steps.items()
    }
    assert (Value(4),) == shape_of(one, read, WORDS.word).operands


@pytest.mark.parametrize(
    ("kind", "operand", "width", "through"),
    [("shift_right", 64, 1, "shift_left"), ("shift_left", 1, 64, "shift_right")],
)
def test_bytes_below_what_is_left_are_not_shifted(kind: str, operand: int, width: int, through: str) -> None:
    """The highest of 64 bits comes from its byte into the one above, and goes back there so: two bytes go
    through the carry by one place, the other seven are of no account.
    """
    steps = native_steps(Shape(kind, (Value(operand),), 63, width), 63, BYTES).steps

    assert {f"{through}_through_carry": 2} == Counter({entry.kind: n for entry, n in steps.items() if n})
