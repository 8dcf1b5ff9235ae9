"""The language as a language: routines that nobody wrote run the same on every engine."""

from __future__ import annotations

from collections import Counter
from random import Random
from typing import Any

import pytest

from softfloat_py.engines import arrays, direct, plain, stepwise
from softfloat_py.engines.arrays.words import from_ints, to_ints
from softfloat_py.integer_form.counting import Entry, bill_of
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.plausible import fault_of
from softfloat_py.integer_form.reader import read
from softfloat_py.routines.language import Bits, Routine, add_modulo, resize, select, subtract_modulo
from tests.engines.random_routines import UNIFORM, WIDTHS, Maker
from tests.engines.running import run_generated

ROWS = 40


def rows_for(widths: dict[str, int], random: Random, direction: int) -> list[tuple[int, ...]]:
    """Operands: corners of each width and others, and one direction for all."""
    corners = [[0, 1, (1 << width) - 1, None] for name, width in widths.items() if name != UNIFORM]
    sizes = [width for name, width in widths.items() if name != UNIFORM]
    return [
        tuple(
            random.getrandbits(width) if value is None else value
            for width, value in zip(sizes, map(random.choice, corners), strict=True)
        )
        + ((direction,) if UNIFORM in widths else ())
        for _ in range(ROWS)
    ]


def check(routine: Routine, widths: dict[str, int], rows: list[tuple[int, ...]]) -> None:
    """Every engine gives what Python itself makes of the routine; those that count count the same."""
    program = read(routine, widths, {}, uniform=(UNIFORM,))
    results = [directly(routine, widths, row) for row in rows]
    stepped = [stepwise.run(program, row) for row in rows]
    assert results == [record.results[0] for record in stepped]
    counts: Counter[Entry] = Counter()
    for record in stepped:
        counts.update(record.counts)
    function = plain.compiled(program)
    generated = [run_generated(function, row) for row in rows]
    assert results == [row_results[0] for row_results, _ in generated]
    assert +counts == +function.count([record for _, record in generated])
    on_arrays, usage = run_on_arrays(program, rows)
    assert results == on_arrays
    assert +counts == +bill_of(program).total(usage)
    assert fault_of(usage, program) is None


def directly(routine: Routine, widths: dict[str, int], row: tuple[int, ...]) -> int:
    """The result of the direct engine."""
    named = {name: (value, width) for (name, width), value in zip(widths.items(), row, strict=True)}
    return direct.run(routine, named, {})[0][0]


def run_on_arrays(program: Program, rows: list[tuple[int, ...]]) -> tuple[list[int], Any]:
    """The results of the array engine, and the usage."""
    columns = list(zip(*rows, strict=True))
    operands = [
        from_ints(list(column), parameter.width)
        for column, parameter in zip(columns, program.parameters, strict=True)
        if parameter not in program.uniform
    ]
    outcome = arrays.compiled(program).run(operands, columns[-1][0] if program.uniform else 0)
    return to_ints(outcome.results[0]), outcome.usage


@pytest.mark.parametrize("seed", range(120))
def test_random_routines_run_the_same_everywhere(seed: int) -> None:
    """Results are those of Python itself, counts those of the steps, whatever the routine is."""
    routine = Maker(seed).routine()
    for direction in (0, 4):
        check(routine, WIDTHS, rows_for(WIDTHS, Random(seed), direction))


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


BY_HAND = [
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


@pytest.mark.parametrize("routine", BY_HAND, ids=lambda routine: routine.__name__)
def test_edges_of_the_language_run_the_same_everywhere(routine: Routine) -> None:
    """What no operation has needed so far is right as well."""
    widths = {name: 3 if name == UNIFORM else 8 for name in routine.__annotations__ if name != "return"}
    for direction in (0, 1):
        check(routine, widths, rows_for(widths, Random(5), direction))
