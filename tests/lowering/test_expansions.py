"""Steps done in words equal the wide steps: exhaustively where words have 4 bits, on random values
otherwise.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from softfloat_py.engines import plain, stepwise
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.printing import printed
from softfloat_py.lowering.expansions import EXPANSIONS, Value, expanded_for, expanded_step
from softfloat_py.lowering.machine import Habits, Machine
from softfloat_py.lowering.words import count_words
from softfloat_py.routines.steps import STEPS
from softfloat_py.routines.tables import Table

KINDS = tuple(EXPANSIONS)


def machines(word: int) -> list[Machine]:
    """Every sensible combination of abilities: shifting takes a carry flag or a barrel shifter; and the C of
    small CPUs, where wide values are shifted one place at a time by branches.
    """
    of_cpus = [
        Machine(word, carry, barrel, multiplier, zeros, 0)
        for carry, barrel in ((True, True), (True, False), (False, True))
        for multiplier, zeros in ((0, False), (word // 2, False), (word, True))
    ]
    by_branches = [
        Machine(
            word, False, True, multiplier, False, 0, habits=Habits(carry_places=word // 4, unit=word // 2)
        )
        for multiplier in (0, word // 2, word)
    ]
    in_parts = [
        Machine(word, True, barrel, multiplier, False, 0, habits=Habits(carry_reach=reach))
        for barrel in (True, False)
        for multiplier in (0, word)
        for reach in (word, 2 * word)
    ]
    one_place = Machine(word, False, True, 0, False, 0, habits=Habits(carry_places=1))
    dividers = [
        Machine(word, carry, True, word, False, 0, dividend_bits=bits, divisor_bits=word)
        for carry in (True, False)
        for bits in (word, 2 * word)
    ]
    # Of addresses too, which are wider than the smallest words.
    of_cpus = [replace(machine, habits=Habits(address_bits=max(word, 16))) for machine in of_cpus]
    by_rows = [replace(m, habits=Habits(digit_rows=True)) for m in of_cpus if m.multiplier_bits]
    return [*of_cpus, *by_branches, *by_rows, *in_parts, *dividers, one_place]


def cases(kind: str, width: int) -> Iterator[tuple[tuple[int, ...], Any]]:
    """Operand widths and immediates worth trying for a kind at a width."""
    match kind:
        case "select":
            yield (1, width, width), 0
        case "shift_left" | "shift_right":
            yield from (((width,), distance) for distance in range(width))
        case "shift_left_variable" | "shift_right_variable":
            yield (width, max((width - 1).bit_length(), 1)), width
        case "add_modulo" | "subtract_modulo":
            yield (width, width), width
        case "look_up":
            entries = random.Random(width)
            for bits in (width, 3 * width, 20):
                table = Table(tuple(entries.getrandbits(bits) for _ in range(min(1 << width, 29))), bits)
                yield (width,), table
        case "divide":
            yield (width, width), width
            yield (width + 3, max(width - 1, 1)), 5
        case "resize":
            yield (width,), width + 1
            yield (width,), max(width - 1, 1)
        case _:
            yield (width,) * STEPS[kind].arity, 0


def of_widths(widths: tuple[int, ...]) -> tuple[Value, ...]:
    """Operands of these widths."""
    return tuple(Value(width) for width in widths)


def words_of(numbers: tuple[int, ...], widths: tuple[int, ...], word: int) -> list[int]:
    """Values cut into words, the lowest first."""
    return [
        value >> (index * word) & ((1 << min(word, width - index * word)) - 1)
        for value, width in zip(numbers, widths, strict=True)
        for index in range(count_words(width, word))
    ]


def wrong_values(
    program: Program,
    kind: str,
    widths: tuple[int, ...],
    immediate: Any,
    word: int,
    operands: Iterator[tuple[int, ...]],
) -> list[tuple[int, ...]]:
    """The operands for which the expansion does not deliver what the wide step means."""
    row, run = STEPS[kind], plain.compiled(program).run
    wrong = []
    for values in operands:
        if row.condition(values, widths, immediate):
            *results, _ = run(*words_of(values, widths, word))
            expected = row.value(values, widths, immediate)
            if results != words_of((expected,), (sum(program.result_widths),), word):
                wrong.append(values)
    return wrong


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("machine", machines(4), ids=str)
def test_all_operands_of_small_widths(kind: str, machine: Machine) -> None:
    """With 4-bit words, every operand of 1, 4 and 5 bits gives what the wide step gives."""
    for width in (1, 4, 5):
        for widths, immediate in cases(kind, width):
            result = STEPS[kind].width(widths, immediate)
            program = expanded_step(kind, of_widths(widths), immediate, result, machine).program
            operands = product(*(range(1 << operand) for operand in widths))

            assert [] == wrong_values(program, kind, widths, immediate, 4, operands)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("word", [8, 32])
def test_random_operands_of_large_widths(kind: str, word: int) -> None:
    """With the words of CPUs, random operands up to three words wide give what the wide step gives."""
    source = random.Random(word)
    for machine in machines(word):
        for width in (word - 1, word + 3, 2 * word, 2 * word + 5):
            widths, immediate = next(cases(kind, width))
            if kind in ("shift_left", "shift_right"):
                immediate = source.randrange(width)
            result = STEPS[kind].width(widths, immediate)
            program = expanded_step(kind, of_widths(widths), immediate, result, machine).program
            operands = (
                tuple(source.choice((0, (1 << w) - 1, source.getrandbits(w))) for w in widths)
                for _ in range(30)
            )

            assert [] == wrong_values(program, kind, widths, immediate, word, operands)


# Where a distance, or a number of leading zeros, takes more bits than a word has.
FAR = [(4, 17), (4, 40), (8, 257), (8, 350)]


@pytest.mark.parametrize("kind", ["shift_left_variable", "shift_right_variable"])
@pytest.mark.parametrize(("word", "width"), FAR)
@pytest.mark.parametrize("spare", [0, 2])
def test_shifts_by_distances_of_several_words(kind: str, word: int, width: int, spare: int) -> None:
    """A value is moved by every distance there is, whole words by the upper bits of a distance of two words,
    though the distance has bits to spare.
    """
    source = random.Random(width)
    value = source.getrandbits(width)
    widths = (width, (width - 1).bit_length() + spare)
    for machine in machines(word)[::3]:
        program = expanded_step(kind, of_widths(widths), width, width, machine).program
        operands = ((value >> d if kind == "shift_left_variable" else value, d) for d in range(width))

        assert [] == wrong_values(program, kind, widths, width, word, operands)


@pytest.mark.parametrize(("word", "width"), FAR)
def test_leading_zeros_that_a_word_does_not_hold(word: int, width: int) -> None:
    """Any number of leading zeros, all bits included, is delivered in as many words as it needs."""
    for machine in machines(word):
        program = expanded_step(
            "count_leading_zeros", of_widths((width,)), 0, width.bit_length(), machine
        ).program
        operands = ((((1 << width) - 1) >> zeros,) for zeros in range(width + 1))

        assert [] == wrong_values(program, "count_leading_zeros", (width,), 0, word, operands)


def test_side_conditions_hold_inside_expansions() -> None:
    """The stepwise engine, which checks every step's side condition, accepts the expansions' own steps."""
    for machine in machines(8):
        for width, distance in ((27, 13), (350, 300)):
            value, widths = (0x5A5A5A5 << (width - 27)), (width, width.bit_length())
            program = expanded_step("shift_right_variable", of_widths(widths), width, width, machine).program

            results = stepwise.run(program, words_of((value, distance), widths, 8)).results

            assert words_of((value >> distance,), (width,), 8) == list(results)


@pytest.mark.parametrize("kind", ["shift_left_variable", "shift_right_variable"])
@pytest.mark.parametrize("width", [1, 2, 3])
def test_distance_of_less_than_a_word_needs_no_jumps(width: int, kind: str) -> None:
    """A distance too narrow to reach a word moves no words, on a CPU that shifts by one place."""
    machine = Machine(8, True, False, 8, False, 8)
    program = expanded_step(kind, of_widths((20, width)), 20, 20, machine).program
    for distance in range(1 << width):
        shifted = 0x1234 << distance if kind == "shift_left_variable" else 0x1234 >> distance
        words = stepwise.run(program, [0x34, 0x12, 0, distance]).results

        assert shifted == sum(word << (8 * index) for index, word in enumerate(words))


def counted(program: Program, arguments: list[int]) -> dict[str, int]:
    """The steps of a run by kind, without the call."""
    counts = stepwise.run(program, arguments).counts
    kinds = Counter(entry.kind for entry in counts.elements())
    return {kind: n for kind, n in kinds.items() if kind not in ("call", "return")}


# Words, bits of an entry, and the steps that bring it: by hand, a line each.
LOOKED_UP = [
    (32, 32, {"shift_left": 1, "load_constant": 1, "add": 1, "load_from_table": 1}),  # index × 4, + the table
    (32, 8, {"load_constant": 1, "add": 1, "load_from_table": 1}),  # bytes: the index is the offset
    (32, 68, {"shift_left": 2, "load_constant": 1, "add": 2, "load_from_table": 3}),  # index × 12 = × 4 + × 8
    # Addresses have two bytes, and the upper one is added to a zero; entries lie in four bytes, and in one.
    (
        8,
        20,
        {"shift_left": 1, "load_constant": 3, "add": 1, "add_with_carry": 1, "load_from_table": 3},
    ),  # in 4 bytes
    (8, 8, {"load_constant": 3, "add": 1, "add_with_carry": 1, "load_from_table": 1}),
]


@pytest.mark.parametrize(("word", "bits", "steps"), LOOKED_UP)
def test_an_entry_is_loaded_from_an_address(word: int, bits: int, steps: dict[str, int]) -> None:
    """The index times the bytes of an entry and the place of the table are added, and each word is loaded."""
    machine = Machine(word, True, True, 0, False, 8, habits=Habits(address_bits=max(word, 16)))
    table = Table(tuple(((1 << bits) - 1) // (index + 1) for index in range(9)), bits)
    program = expanded_step("look_up", of_widths((4,)), table, bits, machine).program

    assert steps == counted(program, [3])


def test_a_language_reads_tables_by_the_index() -> None:
    """Where no address is asked for, an entry takes one step a word."""
    machine = Machine(32, False, True, 0, False, 32)
    program = expanded_step("look_up", of_widths((4,)), Table((5, 9 << 64 | 3 << 40)), 68, machine).program

    assert ["look_up"] * 3 == [step.kind.name for step in program.body.all_steps()]


def test_an_addition_of_27_bits_takes_four_bytes() -> None:
    """On an 8-bit machine with a carry flag, one plain addition and three with carry, counted, not stated."""
    machine = Machine(8, True, False, 8, False, 8)
    program = expanded_step("add", of_widths((26, 26)), 0, 27, machine).program

    counts = stepwise.run(program, [0] * 8).counts

    kinds = Counter(entry.kind for entry in counts.elements())
    assert {"add": 1, "add_with_carry": 3, "call": 1, "return": 1} == kinds


@pytest.mark.parametrize("kind", KINDS)
def test_expansion_depends_on_no_ability_but_those_of_its_row(kind: str) -> None:
    """A machine without the abilities that a kind's row leaves out expands it to the very same steps."""
    for machine in machines(8):
        for width in (5, 8, 19, 33):
            for widths, immediate in cases(kind, width):
                given = kind, of_widths(widths), immediate, STEPS[kind].width(widths, immediate)
                able = replace(machine, immediate_bits=5, upper_immediate_bits=3)

                whole = printed(expanded_for(*given, able).program)
                assert whole == printed(expanded_step(*given, machine).program), machine
