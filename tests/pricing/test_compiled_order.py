"""Programs in the order of compiled code: the same results, and nothing done that nobody needs."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softfloat_py.engines import stepwise
from softfloat_py.integer_form.counting import bill_of
from softfloat_py.integer_form.grammar import If, Program, Return, Step
from softfloat_py.integer_form.walking import visits
from softfloat_py.numbers.formats import binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.pricing.compiled_order import as_compiled
from softfloat_py.routines.language import Bits, constant
from softfloat_py.uses import use_of
from tests.integer_form.small_routines import program

NAMES = ("addition", "multiplication", "division", "square_root", "compare_quiet_less", "remainder")


@given(
    st.sampled_from(NAMES),
    st.sampled_from([LEAN, COMPLETE]),
    st.lists(st.one_of(st.integers(0, 2**32 - 1), st.just(0)), min_size=2, max_size=2),
)
def test_results_are_the_same_and_no_step_is_done_more_often(
    name: str, options: Options, operands: list[int]
) -> None:
    """What a program delivers does not depend on where its steps stand, and none is moved into a loop."""
    routine = use_of(OPERATIONS[name], binary32, options).program
    numbers = (*operands[: len(routine.operands)], *(0 for _ in routine.uniform))

    before, after = stepwise.run(routine, numbers), stepwise.run(as_compiled(routine), numbers)

    assert before.results == after.results
    assert not _steps_done(after) - _steps_done(before)


def _steps_done(record: stepwise.Record) -> Counter[Step]:
    return Counter(event.statement for event in record.events if isinstance(event.statement, Step))


@pytest.mark.parametrize("name", NAMES)
def test_stretches_and_noted_steps_stay(name: str) -> None:
    """A tally of the routine has the same meaning for the program as compiled code has it."""
    routine = use_of(OPERATIONS[name], binary32, COMPLETE).program
    ordered = as_compiled(routine)

    assert routine.stretches == ordered.stretches
    assert bill_of(routine).sites == bill_of(ordered).sites


def places(program: Program) -> dict[str, int]:
    """The stretch that each step stands in, by what it is counted as."""
    return {
        visit.statement.kind.name: visit.stretch
        for visit in visits(program.body)
        if isinstance(visit.statement, Step)
    }


def needed_on_one_side(crest: Bits, trough: Bits) -> Bits:
    """A value that only high waves need, and that from another one."""
    rise = crest ^ trough
    fall = rise & 7
    if crest > trough:
        trough = fall | rise
    return trough


def test_what_one_side_needs_stands_on_that_side() -> None:
    """Both steps go where the value is used, in their order, though one of them is used twice there."""
    ordered = as_compiled(program(needed_on_one_side, crest=8, trough=8))
    (decision,) = (s for s in ordered.body.statements if isinstance(s, If))

    assert {"xor": 1, "and": 1, "or": 1, "less": 0} == places(ordered)
    assert ["xor", "and", "or"] == [step.kind.name for step in decision.then.all_steps()]


def needed_after_leaving(crest: Bits, trough: Bits) -> Bits:
    """A value that is used once, after calm seas have left."""
    rise = crest ^ trough
    if crest == 0:
        return constant(0, 8)
    return rise & trough


def test_what_is_used_once_stands_where_it_is_used() -> None:
    """The step comes after the return that it is not needed for."""
    ordered = as_compiled(program(needed_after_leaving, crest=8, trough=8))

    assert [If, Step, Step, Return] == [type(statement) for statement in ordered.body.statements][1:]


def needed_in_rounds(crest: Bits, trough: Bits) -> Bits:
    """A value that every round of a loop needs."""
    rise = crest ^ trough
    for _ in range(4):
        trough = trough | rise
    return trough


def test_nothing_goes_into_a_loop() -> None:
    """It would be done once a round."""
    assert {"xor": 0, "or": 1} == places(as_compiled(program(needed_in_rounds, crest=8, trough=8)))
