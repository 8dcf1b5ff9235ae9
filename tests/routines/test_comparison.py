"""Comparisons: what each kind of predicate costs, and that every pair of operands is told apart."""

from __future__ import annotations

from itertools import product

import pytest

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary32
from softfloat_py.options import COMPLETE, LEAN, Options
from tests.engines.drawing import FLUSHED, NO_SPECIALS
from tests.engines.running import reference, run_plain, run_stepwise, used
from tests.references.predicates import COMPARISONS, Relation

EVEN = Rounding.TIES_TO_EVEN

# Each predicate with its negation (IEEE 754-2019, tables 5.1 to 5.3, from memory).
NEGATIONS = [
    ("compare_quiet_equal", "compare_quiet_not_equal"),
    ("compare_quiet_greater", "compare_quiet_not_greater"),
    ("compare_quiet_greater_equal", "compare_quiet_less_unordered"),
    ("compare_quiet_less", "compare_quiet_not_less"),
    ("compare_quiet_less_equal", "compare_quiet_greater_unordered"),
    ("compare_quiet_unordered", "compare_quiet_ordered"),
    ("compare_signaling_equal", "compare_signaling_not_equal"),
    ("compare_signaling_greater", "compare_signaling_not_greater"),
    ("compare_signaling_greater_equal", "compare_signaling_less_unordered"),
    ("compare_signaling_less", "compare_signaling_not_less"),
    ("compare_signaling_less_equal", "compare_signaling_greater_unordered"),
]

# Heights of waves in metres, in binary32: 0.5, 1.25, 1.5, 2.75 and some of them below the still water.
HEIGHTS = (0x3F000000, 0x3FA00000, 0x3FC00000, 0x40300000, 0xBFA00000, 0xC0300000)
ORDINARY = [(x, y) for x, y in product(HEIGHTS, HEIGHTS) if x % (1 << 31) != y % (1 << 31)]

with_options = pytest.mark.parametrize("options", [COMPLETE, LEAN, FLUSHED], ids=lambda options: options.name)


def steps(name: str, options: Options, x: int, y: int) -> int:
    """How many steps a comparison of two numbers of binary32 takes."""
    counts = run_stepwise(used(name, binary32, options), EVEN, (x, y)).counts
    assert counts is not None
    return counts.total()


def test_every_predicate_has_its_negation() -> None:
    """The table above leaves out none, and the relations of a pair are all that there are."""
    assert sorted(COMPARISONS) == sorted(name for pair in NEGATIONS for name in pair)
    for predicate, negation in NEGATIONS:
        assert set() == COMPARISONS[predicate] & COMPARISONS[negation]
        assert 4 == len(COMPARISONS[predicate] | COMPARISONS[negation])


@with_options
@pytest.mark.parametrize(("predicate", "negation"), NEGATIONS)
def test_a_negation_costs_what_its_predicate_does(predicate: str, negation: str, options: Options) -> None:
    """Two numbers, in either order taken together, are compared in as many steps."""
    for x, y in ORDINARY:
        of_predicate = steps(predicate, options, x, y) + steps(predicate, options, y, x)
        of_negation = steps(negation, options, x, y) + steps(negation, options, y, x)

        assert of_predicate == of_negation, (hex(x), hex(y))


@with_options
def test_what_tells_an_order_is_the_dearest(options: Options) -> None:
    """All predicates that differ for less and greater take as many steps, over numbers in either order; those
    that do not take fewer.
    """
    taken = {name: sum(steps(name, options, x, y) for x, y in ORDINARY) for name in COMPARISONS}
    of_order = {taken[name] for name in COMPARISONS if tells_an_order(name)}

    assert 1 == len(of_order)
    assert all(taken[name] < max(of_order) for name in COMPARISONS if not tells_an_order(name))


def tells_an_order(name: str) -> bool:
    """Whether a predicate differs for less and greater."""
    return (Relation.LESS in COMPARISONS[name]) != (Relation.GREATER in COMPARISONS[name])


def test_steps_of_one_comparison() -> None:
    """1.5 < 2.75 takes 10 steps where nothing but the result is asked for."""
    by_hand = (
        4  # each magnitude: a mask loaded and applied
        + 2  # whether the second is larger; a branch to where it is
        + 2  # infinity loaded; whether the larger one, sign and all, lies no higher
        + 2  # call and return
    )

    assert by_hand == steps("compare_signaling_less", LEAN, 0x3FC00000, 0x40300000)


def test_steps_of_one_question_for_equality() -> None:
    """Whether 1.5 equals 2.75 takes 9 steps where nothing but the result is asked for."""
    by_hand = (
        4  # each magnitude: a mask loaded and applied
        + 2  # whether they are equal; a branch, not taken
        + 1  # the answer loaded
        + 2  # call and return
    )

    assert by_hand == steps("compare_quiet_equal", LEAN, 0x3FC00000, 0x40300000)


E2P3 = Format("e2p3", exponent_bits=2, precision=3)
WITHOUT_INFINITY = Format("e2p3 without infinity", exponent_bits=2, precision=3, has_infinity=False)


@pytest.mark.parametrize(
    ("fmt", "options"),
    [(E2P3, FLUSHED), (E2P3, NO_SPECIALS), (WITHOUT_INFINITY, COMPLETE), (WITHOUT_INFINITY, FLUSHED)],
    ids=lambda value: value.name,
)
@pytest.mark.parametrize("name", COMPARISONS)
def test_every_pair_is_compared_correctly(name: str, options: Options, fmt: Format) -> None:
    """Signed zeros, subnormal numbers that are flushed or not, infinities and NaNs compare as they must."""
    use = used(name, fmt, options)
    operands = [bits for bits in range(1 << fmt.width) if options.special or fmt.is_finite(bits)]
    for pair in product(operands, operands):
        assert reference(use, EVEN, pair) == run_plain(use, EVEN, pair).outcome, pair
