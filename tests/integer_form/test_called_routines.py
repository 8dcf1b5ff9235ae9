"""Routines that are called: as they are read, printed and counted."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import product
from textwrap import dedent

import pytest

from softfloat_py.engines import direct, plain, stepwise
from softfloat_py.environment import Rounding
from softfloat_py.errors import RoutineError
from softfloat_py.integer_form.builder import Builder
from softfloat_py.integer_form.counting import Entry, Usage, bill_of
from softfloat_py.integer_form.grammar import Call, Position, Program, Variable
from softfloat_py.integer_form.plausible import fault_of
from softfloat_py.integer_form.printing import printed
from softfloat_py.integer_form.reader import read, write_out
from softfloat_py.numbers.formats import binary16
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.uses import Use, use_of
from tests.engines.running import ENGINES, run_generated
from tests.integer_form import called_routines
from tests.integer_form.small_routines import program

CALL = [Entry("call", "call", 0), Entry("call", "return", 0)]


def breakers() -> Program:
    """A routine that calls another on one side of an `if`."""
    return program(called_routines.breakers, height=8, limit=8, depth=8)


# -- reading -------------------------------------------------------------------------------------------


def test_called_routine_stays_one() -> None:
    """A call names what it calls, whose own program stands after the one that calls."""
    expected = """
        breakers(height.1:8, limit.2:8, depth.3:8) -> 8
          scale:
            t.4:1 = and height.1 1
            t.5:1 = equal t.4 0
            if t.5
              scale:
                limited.6:8 = call limited height.1 limit.2
            else
            join height.7:8 = limited.6 | height.1
            t.8:8 = xor height.7 depth.3
            return t.8
        limited(height.1:8, limit.2:8) -> 8
          compare:
            t.3:1 = less limit.2 height.1
            if t.3
              compare:
                return limit.2
            else
            return height.1
    """

    assert dedent(expected).lstrip("\n") == printed(breakers())


def test_calls_of_one_kind_call_one_program() -> None:
    """Two calls with operands of the same widths call the same; it is printed once."""
    twice = program(called_routines.breakers_twice, height=8, limit=8)
    first, second = twice.body.all_calls()

    assert first.callee is second.callee
    assert (first.callee,) == twice.callees == breakers().callees
    assert 1 == printed(twice).count("limited(")


def test_order_of_named_operands_makes_no_other_program() -> None:
    """Operands that are given by name are those of the same parameters in any order."""
    by_name = program(called_routines.breakers_by_name, height=8, limit=8)
    assert breakers().callees == by_name.callees


def test_what_is_fixed_makes_a_program_of_its_own() -> None:
    """Calls that differ in a fixed parameter call different programs; tuples come out as they went in."""
    crests = read(called_routines.crests, {"height": 8, "other": 8}, {}, keep_flags=True)

    assert ["crest_of", "crest_of"] == [callee.name for callee in crests.callees]
    assert [(8, 1, 5), (8, 1, 5)] == [callee.result_widths for callee in crests.callees]


def test_call_keeps_flags_only_if_it_can_raise_one() -> None:
    """What raises nothing gives no flags, whether or not the routine that calls it keeps them."""
    given = {"height": 8, "rounds": 3}
    (callee,) = read(called_routines.turned_in_rounds, given, {}, keep_flags=True).callees

    assert not callee.keeps_flags
    assert (8,) == callee.result_widths


@pytest.mark.parametrize("routine", [called_routines.constants_alone, called_routines.for_nothing])
def test_call_of_constants_or_for_nothing_is_none(routine: Callable[..., object]) -> None:
    """With nothing left to run it is worked out at once; a result that nobody uses needs no call."""
    assert () == program(routine, height=8).callees


FAULTS: dict[Callable[..., object], str] = {
    called_routines.calls_itself: "itself must not call itself",
    called_routines.comes_back: "back_again must not call itself",
    called_routines.calls_faulty: "expected a name that is known here, not 'swell'",
    called_routines.calls_with_a_list: (
        "what is fixed in a routine that is called must be hashable: unhashable type: 'list'"
    ),
    called_routines.calls_of_two_shapes: "expected results in the same tuples as those of the other returns",
    called_routines.signals_in_rounds: "a loop must not signal",
}


@pytest.mark.parametrize("routine", FAULTS, ids=lambda routine: routine.__name__)
def test_call_that_cannot_be_is_refused_once(routine: Callable[..., object]) -> None:
    """A fault of what is called is reported where it is, once, as one of the routine that calls."""
    with pytest.raises(RoutineError, match=re.escape(FAULTS[routine])) as raised:
        read(routine, {"height": 8}, {}, keep_flags=True)

    assert routine.__name__ == raised.value.routine
    assert 1 == len(raised.value.faults)


def test_what_is_written_out_cannot_call() -> None:
    """Steps that go into the midst of a program, as the lowering's do, have no calls among them."""
    builder = Builder()
    height = builder.variable("height", 8)

    with pytest.raises(RoutineError, match="turned is called, and what is written out here cannot call"):
        write_out(builder, called_routines.for_nothing, {"height": height})


def test_call_of_other_widths_is_refused() -> None:
    """A call checks itself as all nodes of the form do."""
    (callee,) = breakers().callees
    wide, narrow = Variable("height", 1, 8), Variable("limit", 2, 5)

    with pytest.raises(ValueError, match=re.escape("limited takes (8, 8) bits, not (8, 5)")):
        Call((wide,), callee, (wide, narrow), "whole", Position("wave.py", 1, 0))
    with pytest.raises(ValueError, match=re.escape("limited gives (8,) bits, not (5,)")):
        Call((narrow,), callee, (wide, wide), "whole", Position("wave.py", 1, 0))


# -- counting ------------------------------------------------------------------------------------------

EVEN = [
    Entry("scale", "load_constant", 1), Entry("scale", "and", 1),
    Entry("scale", "load_constant", 1), Entry("scale", "compare", 1),
]  # fmt: skip
COUNTED: dict[tuple[int, int, int], list[Entry]] = {
    # odd: the jump over the side that calls
    (9, 4, 0): [*CALL, *EVEN, Entry("scale", "branch_taken", 0), Entry("scale", "xor", 8)],
    # even and above the limit: a call and a return more, the jump to the side that returns
    (8, 4, 0): [
        *CALL, *EVEN, Entry("scale", "branch_not_taken", 0), *CALL, Entry("compare", "compare", 8),
        Entry("compare", "branch_taken", 0), Entry("scale", "xor", 8),
    ],
    # even and below the limit: passing by that side
    (2, 4, 0): [
        *CALL, *EVEN, Entry("scale", "branch_not_taken", 0), *CALL, Entry("compare", "compare", 8),
        Entry("compare", "branch_not_taken", 0), Entry("scale", "xor", 8),
    ],
}  # fmt: skip


@pytest.mark.parametrize("arguments", COUNTED)
def test_call_is_counted_as_by_hand(arguments: tuple[int, int, int]) -> None:
    """What is called counts its call, its return and its own steps, in its own phases."""
    called = breakers()
    _, record = run_generated(plain.compiled(called), arguments)

    assert Counter(COUNTED[arguments]) == stepwise.run(called, arguments).counts
    assert Counter(COUNTED[arguments]) == +plain.compiled(called).count([record])


def test_usage_tells_what_was_called() -> None:
    """Of three runs two call, and one of these comes to the side that returns; usages add up."""
    function = plain.compiled(breakers())
    usages = [function.usage([run_generated(function, row)[1]]) for row in COUNTED]

    assert Usage(3, [3, 2, 1], [], (Usage(2, [2, 1, 1, 1], []),)) == usages[0] + usages[1] + usages[2]


def test_usage_of_a_call_must_fit_the_one_that_calls() -> None:
    """What is called runs as often as its calls do, and its own counts must go together."""
    called = breakers()
    good = Usage(3, [3, 2, 1], [], (Usage(2, [2, 1, 1, 1], []),))

    assert fault_of(good, called) is None
    assert "usages of 0 called programs, not 1" == fault_of(replace(good, callees=()), called)
    assert "1 calls of limited in 2 runs of their stretches" == fault_of(
        replace(good, callees=[Usage(1, [1, 0, 1, 1], [])]), called
    )
    assert "1 runs of the sides of an if that 2 come to" == fault_of(
        replace(good, callees=[Usage(2, [2, 0, 1, 1], [])]), called
    )


def test_call_in_a_loop_is_counted_by_rounds() -> None:
    """Five rounds call five times."""
    rounds = program(called_routines.turned_in_rounds, height=8, rounds=3)
    (result,), record = run_generated(plain.compiled(rounds), (0x0F, 5))
    usage = plain.compiled(rounds).usage([record])

    assert 0xF0 == result
    assert (Usage(5, [5], []),) == usage.callees
    assert 6 == bill_of(rounds).total(usage)[Entry("call", "call", 0)]


# -- running -------------------------------------------------------------------------------------------


def test_flags_come_out_of_calls() -> None:
    """Each call gives what it raised, which is joined with what was raised before it and after."""
    crests = read(called_routines.crests, {"height": 8, "other": 8}, {}, keep_flags=True)
    for height, other in product((0, 5, 100, 104, 107, 255), (0, 7, 8, 103, 200, 201)):
        operands = {"height": (height, 8), "other": (other, 8)}
        results, flags = direct.run(called_routines.crests, operands, {})

        assert (*results, flags) == stepwise.run(crests, (height, other)).results
        assert (*results, flags) == run_generated(plain.compiled(crests), (height, other))[0]


OPERANDS = [0x0000, 0x8000, 0x3C00, 0xBC00, 0x4248, 0x0001, 0x7BFF, 0x7C00, 0xFC00, 0x7D00, 0x2E66]


@pytest.mark.parametrize("options", [COMPLETE, LEAN, Options(all_directions=False)], ids=lambda o: o.name)
def test_called_addition_is_the_operation(options: Options) -> None:
    """Two calls of an addition deliver, raise and count what the operation does, one after the other; what
    calls it adds the flags together, a call and a return. The direction and the options go on to it.
    """
    directions = list(Rounding) if options.all_directions else [Rounding.TIES_TO_EVEN]
    addition = use_of(OPERATIONS["addition"], binary16, options)
    twice = Use(called_routines.TWICE_ADDED, binary16, options)
    joined = Counter([Entry("whole", "or", 5)] if options.flags else [])
    for direction, x, y in product(directions, OPERANDS, OPERANDS):
        first = ENGINES["stepwise"](addition, direction, (x, y))
        second = ENGINES["stepwise"](addition, direction, (first.outcome[0], y))
        assert first.counts is not None
        assert second.counts is not None
        expected = second.outcome[0], first.outcome[1] | second.outcome[1]
        counts = first.counts + second.counts + Counter(CALL) + joined
        for name, engine in ENGINES.items():
            run = engine(twice, direction, (x, y))

            assert (name, *expected) == (name, *run.outcome)
            assert run.counts in (None, counts), name
