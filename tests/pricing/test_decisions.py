"""What only decides, priced on an invented CPU."""

from __future__ import annotations

from dataclasses import replace

from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.figures import Price
from softfloat_py.pricing.program_price import program_price
from softfloat_py.routines.language import Bits, phase
from tests.integer_form.small_routines import program
from tests.pricing import invented_cpu
from tests.pricing.invented_cpu import INVENTED
from tests.pricing.test_program_price import NOT_TAKEN, stretches


def either_high(crest: Bits, trough: Bits, limit: Bits) -> Bits:
    """An `if` on one of two comparisons."""
    phase("order")
    if (crest > limit) | (trough > limit):
        crest = limit
    return crest


def test_joined_truths_are_asked_for_one_after_the_other() -> None:
    """Each comparison decides in a branch of its own, so that neither becomes a number, and nothing joins
    them: the second branch stands where `or` does.
    """
    model = invented_cpu.invented_cpu(32)
    before, *_ = stretches(model, program(either_high, crest=8, trough=8, limit=8))

    assert {"compare": 1 + 1, "or": NOT_TAKEN} == before


def not_high(crest: Bits, limit: Bits) -> Bits:
    """An `if` on a comparison turned round."""
    phase("order")
    if ~(crest > limit):
        crest = limit
    return crest


def test_turned_truth_takes_nothing() -> None:
    """The branch is turned instead."""
    model = invented_cpu.invented_cpu(32)
    before, *_ = stretches(model, program(not_high, crest=8, limit=8))

    assert {"compare": 1} == before


def kept_too(crest: Bits, trough: Bits, limit: Bits) -> Bits:
    """A comparison that joins another for an `if`, and is a bit of the result too."""
    phase("order")
    high = crest > limit
    if high | (trough > limit):
        crest = limit
    return crest ^ high


def test_truth_that_is_a_number_too_takes_that_beside_its_branch() -> None:
    """The comparison is made a number; its branch looks at the flags all the same."""
    model = invented_cpu.invented_cpu(32, condition_as_value=Price(9, INVENTED))
    before, *_ = stretches(model, program(kept_too, crest=8, trough=8, limit=8))

    assert {"compare": (1 + 9) + 1, "or": NOT_TAKEN, "xor": 1} == before


def clamped(crest: Bits, limit: Bits) -> Bits:
    """A side of two steps, and one that does nothing."""
    phase("order")
    if crest > limit:
        crest = (limit ^ 3) & crest
    return crest


def with_condition(model: CostModel) -> CostModel:
    """The CPU with instructions that are done on a condition."""
    return replace(model, machine=replace(model.machine, conditional_execution=True))


def test_short_side_is_done_on_the_condition() -> None:
    """Both ways pass through its two steps, with what a choice takes beyond a move in place of the branch,
    as they take no longer than a jump.
    """
    prices: dict[str, float] = {**invented_cpu.PRICES, "move": 1, "select": 3, "branch_taken": 2}
    model = invented_cpu.invented_cpu(32, prices)
    clamp = program(clamped, crest=8, limit=8)

    by_branch = [sum(cycles.values()) for cycles in program_price(model, clamp).stretches]
    on_condition = [sum(cycles.values()) for cycles in program_price(with_condition(model), clamp).stretches]

    assert [1, NOT_TAKEN + 2, 2] == by_branch
    assert [1, 2 + 2, 2 + 2] == on_condition
