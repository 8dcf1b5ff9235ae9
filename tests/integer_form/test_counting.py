"""Counts by hand against counts by the engines: rules of counting, and one addition walked through."""

from __future__ import annotations

from collections import Counter

import pytest

from softfloat_py.engines import plain, stepwise
from softfloat_py.integer_form.counting import Entry, Usage, bill_of
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import LEAN
from softfloat_py.uses import use_of
from tests.engines.running import run_generated
from tests.integer_form import small_routines

CALL = [Entry("call", "call", 0), Entry("call", "return", 0)]

# Two accelerations of the buoy, 1.5 and 0.4375 m/s² (1.1 × 2^0 and 1.11 × 2^-2 in base 2).
FIRST, SECOND = 0x3FC00000, 0x3EE00000

# Their sum in binary32 with lean options, line by line through routines/addition.py and routines/rounding.py.
# The first is larger, no carry leaves the sum of the significands, and nothing overflows.
ONE_ADDITION = [
    *CALL,
    # sign = sign_of(x)
    Entry("order", "shift_right", 32, 31),
    # signs_differ = sign_of(x ^ y)
    Entry("order", "xor", 32), Entry("order", "shift_right", 32, 31),
    # larger = magnitude_of(x)
    Entry("order", "load_constant", 31), Entry("order", "and", 31),
    # smaller = magnitude_of(y)
    Entry("order", "load_constant", 31), Entry("order", "and", 31),
    # if larger < smaller: it is not, so this jumps
    Entry("order", "compare", 31), Entry("order", "branch_taken", 0),
    # exponent, smaller_exponent
    Entry("unpack", "shift_right", 31, 23),
    Entry("unpack", "shift_right", 31, 23),
    # if exponent == 255: it is not, and passes by the side that returns
    Entry("unpack", "load_constant", 8), Entry("unpack", "compare", 8),
    Entry("unpack", "branch_not_taken", 0),
    # significand = field(larger, 0, 23) | leading_one
    Entry("unpack", "load_constant", 23), Entry("unpack", "and", 23),
    Entry("unpack", "load_constant", 24), Entry("unpack", "or", 24),
    # smaller_significand likewise
    Entry("unpack", "load_constant", 23), Entry("unpack", "and", 23),
    Entry("unpack", "load_constant", 24), Entry("unpack", "or", 24),
    # if smaller_exponent == 0: it is not
    Entry("unpack", "load_constant", 1), Entry("unpack", "compare", 8), Entry("unpack", "branch_taken", 0),
    # significand << 3
    Entry("align", "shift_left", 27, 3),
    # exponent - smaller_exponent, which is 2
    Entry("align", "subtract", 8),
    # select(distance > 26, 26, distance)
    Entry("align", "load_constant", 5), Entry("align", "compare", 8),
    Entry("align", "load_constant", 5), Entry("align", "select", 8),
    # shift_right_sticky(smaller_significand << 3, 2): right, left again, compare, merge
    Entry("align", "shift_left", 27, 3),
    Entry("align", "shift_right_variable", 27, 2), Entry("align", "shift_left_variable", 27, 2),
    Entry("align", "compare", 27), Entry("align", "or", 27),
    # exponent_less_one = exponent - 1
    Entry("align", "load_constant", 1), Entry("align", "subtract", 8),
    # if signs_differ: they do not
    Entry("align", "branch_taken", 0),
    # total = significand + aligned
    Entry("add", "add", 28),
    # if field(total, 27, 1): 1.5 + 0.4375 < 2, so it is not set
    Entry("normalise", "shift_right", 28, 27), Entry("normalise", "branch_taken", 0),
    # odd = field(significand, 3, 1)
    Entry("round", "shift_right", 27, 3), Entry("round", "load_constant", 1), Entry("round", "and", 1),
    # increment = odd + 3
    Entry("round", "load_constant", 2), Entry("round", "add", 3),
    # (significand + increment) >> 3
    Entry("round", "add", 28), Entry("round", "shift_right", 28, 3),
    # encoded = (exponent_less_one << 23) + rounded
    Entry("pack", "shift_left", 31, 23), Entry("pack", "add", 32),
    # if encoded >= infinity: it is not, and passes by the side that returns
    Entry("pack", "load_constant", 31), Entry("pack", "compare", 32), Entry("pack", "branch_not_taken", 0),
    # concatenate(sign, encoded)
    Entry("pack", "shift_left", 32, 31), Entry("pack", "or", 32),
]  # fmt: skip


def test_one_addition_is_counted_as_by_hand() -> None:
    """The steps of one sum of two accelerations are those found by reading the routine."""
    program = use_of(OPERATIONS["addition"], binary32, LEAN).program
    (result,), record = run_generated(plain.compiled(program), (FIRST, SECOND))

    assert 1.9375 == float(binary32.decode(result))
    assert Counter(ONE_ADDITION) == +plain.compiled(program).count([record])
    assert Counter(ONE_ADDITION) == stepwise.run(program, (FIRST, SECOND)).counts


def counted(routine: str, operands: dict[str, int], arguments: tuple[int, ...]) -> Counter[Entry]:
    """The steps of one run of a small routine, as both scalar engines count them."""
    program = read(getattr(small_routines, routine), operands, {})
    compiled = plain.compiled(program)
    _, record = run_generated(compiled, arguments)
    counts = compiled.count([record])
    assert stepwise.run(program, arguments).counts == +counts
    return +counts


def test_side_that_falls_through_is_not_a_taken_branch() -> None:
    """An `if` that holds falls through; the move on its side is counted; both constants are loaded."""
    expected = [
        *CALL,
        Entry("compare", "compare", 8),
        Entry("compare", "branch_not_taken", 0),
        Entry("compare", "move", 8),
        Entry("scale", "shift_left", 10, 2),
        Entry("scale", "load_constant", 2),
        Entry("scale", "add", 11),
    ]

    assert Counter(expected) == counted("clamped", {"height": 8, "limit": 8}, (9, 4))


def test_side_that_is_jumped_over_costs_the_jump() -> None:
    """An `if` that does not hold jumps, and nothing of its side is counted."""
    expected = [
        *CALL,
        Entry("compare", "compare", 8),
        Entry("compare", "branch_taken", 0),
        Entry("scale", "shift_left", 10, 2),
        Entry("scale", "load_constant", 2),
        Entry("scale", "add", 11),
    ]

    assert Counter(expected) == counted("clamped", {"height": 8, "limit": 8}, (4, 9))


def test_returned_constant_is_loaded() -> None:
    """A program that returns a constant loads it; the early return leaves the rest uncounted."""
    expected = [
        *CALL,
        Entry("negate", "not", 8),
        Entry("special operands", "load_constant", 1),
        Entry("special operands", "compare", 8),
        Entry("special operands", "branch_taken", 0),  # to the side that returns, out of line
        Entry("special operands", "load_constant", 8),
    ]

    assert Counter(expected) == counted("with_early", {"x": 8}, (255,))


def test_loop_of_fixed_length_counts_down() -> None:
    """A loop loads its counter and what it carries, subtracts and branches a round, and falls out at last."""
    in_each_round = [
        Entry("order", "load_constant", 5),
        Entry("order", "and", 5),
        Entry("order", "shift_left", 6, 1),
        Entry("order", "load_constant", 1),
        Entry("order", "and", 1),
        Entry("order", "or", 6),
        Entry("order", "shift_right", 6, 1),
        Entry("order", "subtract", 3),
    ]
    expected = Counter([*CALL, *6 * in_each_round])
    expected += Counter([Entry("order", "load_constant", 1), Entry("order", "load_constant", 3)])
    expected += Counter([*5 * [Entry("order", "branch_taken", 0)], Entry("order", "branch_not_taken", 0)])

    assert expected == counted("reversed_bits", {"x": 6}, (0b100110,))


@pytest.mark.parametrize("distance", [0, 1, 5])
def test_loop_of_variable_length_tests_before_each_round(distance: int) -> None:
    """Such a loop falls into each round, subtracts, jumps back, and jumps out at last; so says its bill."""
    program = read(small_routines.shifted_by, {"x": 6, "distance": 3}, {})
    in_each_round = [
        Entry("align", "branch_not_taken", 0),
        Entry("align", "shift_right", 6, 1),
        Entry("align", "subtract", 3),
        Entry("align", "branch_taken", 0),
    ]
    expected = Counter([*CALL, *distance * in_each_round, Entry("align", "branch_taken", 0)])
    record = stepwise.run(program, (0b110000, distance))

    assert (0b110000 >> distance,) == record.results
    assert expected == record.counts
    assert expected == +bill_of(program).total(Usage(1, [1, distance], []))


def test_features_are_counted_apart() -> None:
    """Runs that shift by different distances fill one cell a distance."""
    program = use_of(OPERATIONS["addition"], binary32, LEAN).program
    compiled = plain.compiled(program)
    # 1.5 + 2^-e: the smaller operand is shifted by e places.
    counts = +compiled.count([run_generated(compiled, (FIRST, (127 - e) << 23))[1] for e in (1, 4, 4, 9)])
    distances = {entry.feature: n for entry, n in counts.items() if entry.kind == "shift_right_variable"}

    assert {1: 1, 4: 2, 9: 1} == distances
