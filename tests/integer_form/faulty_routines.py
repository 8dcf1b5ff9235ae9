"""Small routines that break one rule each; `test_reader_refuses` names the line and the fault.

Lines at fault are worded differently throughout, so that a test finds them by their text.
"""
# ruff: noqa: D103, F821, F841, RET503
# mypy: ignore-errors

from __future__ import annotations

from typing import Any, NamedTuple

from softfloat_py.environment import Flags
from softfloat_py.routines.language import (
    Bits,
    constant,
    field,
    look_up,
    phase,
    resize,
    shift_left,
    signal,
    unrolled,
    with_point,
)


def unknown_name(x: Bits) -> Bits:
    return x + swell


def point_of_something_older(x: Bits) -> Bits:
    crest = x + 1
    trough = x + 3
    return with_point(crest, 2)


def no_return(x: Bits) -> Bits:
    crest = x + 1


def return_on_one_side(x: Bits) -> Bits:
    if x == 1:
        return x


def unsupported_statement(x: Bits) -> Bits:
    while x != 2:
        x = x - 1
    return x


def unsupported_expression(x: Bits) -> Bits:
    return [x, x]


def unsupported_assignment(x: Bits) -> Bits:
    x.trough = 3
    return x


def operator_without_a_step(x: Bits) -> Bits:
    return x / 3


def negated_bits(x: Bits) -> Bits:
    return -x


def logical_not_of_bits(x: Bits) -> Bits:
    return not x


def membership_of_bits(x: Bits) -> Bits:
    return x in (1, 2)


def chained_comparison(x: Bits) -> Bits:
    return 1 < x < 5


def shift_without_a_width(x: Bits, y: Bits) -> Bits:
    return x << y


def conjunction_of_bits(x: Bits) -> Bits:
    return x == 1 and x != 4


def choice_by_bits(x: Bits) -> Bits:
    return x if x == 6 else constant(0, 8)


def attribute_of_bits(x: Bits) -> Bits:
    return x + x.height


def function_of_bits(x: Bits) -> Bits:
    return constant(max(x, 3), 8)


def function_of_a_tuple_of_bits(x: Bits, y: Bits) -> Bits:
    if all((x == 3, y == 4)):
        x = y
    return x


def function_of_constant_bits(x: Bits) -> Bits:
    if bool(constant(0, 1)):
        x = ~x
    return x


def comparison_of_tuples_of_bits(x: Bits, y: Bits) -> Bits:
    if (x, 1) == (y, 1):
        x = ~x
    return x


def negative_number(x: Bits) -> Bits:
    return x + (-1)


def no_bit_left(x: Bits) -> Bits:
    return resize(x, 0)


def constant_too_wide(x: Bits) -> Bits:
    return x + constant(9, 3)


def constants_that_break_a_condition(x: Bits) -> Bits:
    return x + resize(constant(9, 4), 3)


def one_side_only(x: Bits) -> Bits:
    if x == 3:
        height = x + 1
    return height


def sides_of_different_widths(x: Bits) -> Bits:
    if x == 4:
        depth = x + 1
    else:
        depth = x
    return depth


def sides_of_different_things(x: Bits) -> Bits:
    if x == 5:
        period = "long"
    else:
        period = "short"
    return resize(x, len(period))


def part_that_sides_disagree_about(x: Bits) -> Bits:
    if x == 0:
        tide = (x, True)
    else:
        tide = (x, False)
    if tide[1]:
        x = ~x
    return x


def named_part_that_sides_disagree_about(x: Bits) -> Bits:
    if x == 1:
        swell = Swell(x, 3)
    else:
        swell = Swell(x, 5)
    return resize(x, 9 if swell.period == 3 else 8)


def result_that_sides_disagree_about(x: Bits) -> tuple[Bits, Bits]:
    if x == 2:
        sea = (x, "calm")
    else:
        sea = (x, "rough")
    return sea


def bits_or_something_else(x: Bits) -> Bits:
    if x == 6:
        motion = x
    else:
        motion = "calm"
    return motion


def assertion_about_widths(x: Bits) -> Bits:
    assert x.width == 9
    return x


def returns_of_different_widths(x: Bits) -> Bits:
    if x == 7:
        return x + 1
    return x


def too_few_parts(x: Bits) -> Bits:
    low, high = x, x, x
    return low


def width_of_eight(x: Bits, y: Bits) -> Bits:
    return x + y


def wrong_arguments(x: Bits) -> Bits:
    return resize(width_of_eight(x), 8)


def early_return(x: Bits) -> Bits:
    if x == 8:
        if x == 9:
            return x
    return x + 0


def early_return_inside_a_value(x: Bits) -> Bits:
    return early_return(x) + 1


def return_in_a_round(x: Bits) -> Bits:
    for i in unrolled(3):
        if x == i + 10:
            return x
    return x + 0


def return_in_a_round_inside_a_value(x: Bits) -> Bits:
    return return_in_a_round(x) + 1


def index_without_an_entry(x: Bits) -> Bits:
    return look_up((1, 2), constant(2, 2))


def table_without_entries(x: Bits) -> Bits:
    return look_up((), x)


def table_that_a_run_makes(x: Any) -> Bits:
    return look_up(x, x)


def sometimes_nothing(x: Bits) -> Bits:
    buoy = x + 1


def value_of_nothing(x: Bits) -> Bits:
    return sometimes_nothing(x) + 2


def signal_in_a_loop(x: Bits) -> Bits:
    for _ in range(3):
        signal(Flags.INEXACT, x == 1)
    return x


def return_in_a_loop(x: Bits) -> Bits:
    for _ in range(4):
        return x
    return x


def widening_in_a_loop(x: Bits) -> Bits:
    for _ in range(5):
        x = x + 1
    return x


def growing_tuple_in_a_loop(x: Bits) -> Bits:
    pair = (x, x)
    for _ in range(6):
        pair = (x, x, x)
    return pair[0]


def number_as_it_is_after_a_loop(x: Bits) -> Bits:
    waves = 0
    for _ in range(7):
        waves = field(x, 0, 1)
    return x | waves


def number_from_the_round_before(x: Bits) -> Bits:
    crests = 0
    for _ in range(8):
        crests = crests | x
    return ~x


def mixed_tuple_after_a_loop(x: Bits) -> Bits:
    gauge = (x, 0)
    for _ in range(9):
        gauge = (~x, 1)
    return gauge[0]


def round_after_a_loop(x: Bits) -> Bits:
    for _round in unrolled(2):
        x = resize(x + _round, 8)
    for _round in range(10):
        x = ~x
    return x >> _round


def rounds_that_are_no_number(x: Bits) -> Bits:
    for _ in range("many"):
        x = ~x
    return x


class Swell(NamedTuple):
    """What a tuple of bits and something fixed may be."""

    height: Bits
    period: int


class Wave(NamedTuple):
    """What a tuple of bits may be."""

    height: Bits
    length: Bits


def refused_by_python(x: Bits) -> Bits:
    wave = Wave(x, x, x)
    return wave.height


def unexplained_phase(x: Bits) -> Bits:
    phase("alining")
    return ~x


def many_faults(x: Bits) -> Bits:
    first = x + foam
    second = first + 1
    third = x / second
    for place in unrolled(2):
        fourth = x + (place - 1)
    return shift_left(x, third, 8) + spray
