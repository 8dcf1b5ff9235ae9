"""What calls cost: by hand on invented CPUs and on two real ones, in bounds, reports and files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from softfloat_py.engines import plain
from softfloat_py.environment import environment
from softfloat_py.numbers.applying import apply
from softfloat_py.numbers.formats import binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import LEAN
from softfloat_py.pricing.bounds import extremes
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.figures import Price
from softfloat_py.pricing.program_price import AROUND_CALLS, program_price
from softfloat_py.pricing.step_prices import BESIDE_STEPS
from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.routines.language import Bits
from softfloat_py.tally.files import load
from softfloat_py.tally.tally import Tally, counting
from softfloat_py.uses import Use
from tests.engines.running import run_generated
from tests.integer_form import called_routines
from tests.integer_form.small_routines import program
from tests.pricing.invented_cpu import INVENTED, invented_cpu, registers

CALL_AND_RETURN = 11 + 13
SAVING = 5  # cycles for each register that is saved
STORE_AND_LOAD = 400 + 200
BREAKERS = {"height": 8, "limit": 8, "depth": 8}
FIRST, SECOND = 0x3FC00000, 0x3EE00000  # 1.5 and 0.4375


def with_registers(number: int, scratch: int) -> CostModel:
    """The invented CPU with so many registers, so many of them scratch, and a price for saving others."""
    saving = Price(0, INVENTED, cycles_per_n=SAVING)
    return invented_cpu(**registers(number, scratch), save_and_restore=saving)


# Registers and scratch ones, and what a call takes that leaves the depth waiting: the depth lies in a
# register that is saved when the routine itself is called; or it is put into memory, and brought back.
CPUS = [((9, 8), SAVING, 0), ((8, 8), 0, STORE_AND_LOAD)]


@pytest.mark.parametrize(("cpu", "saved", "put_away"), CPUS)
def test_call_is_priced_as_by_hand(cpu: tuple[int, int], saved: int, put_away: int) -> None:
    """A height of 8 is even: mask 1, compare 1, fall through 2, call: there compare 1 and jump 3; then 1."""
    called = program(called_routines.breakers, **BREAKERS)
    usage = plain.compiled(called).usage([run_generated(plain.compiled(called), (8, 4, 0))[1]])
    price = program_price(with_registers(*cpu), called)
    own = CALL_AND_RETURN + saved + (1 + 1 + 2) + put_away + 1
    inside = CALL_AND_RETURN + 1 + 3

    assert own + inside == price.total(usage)
    assert 2 * CALL_AND_RETURN + saved == price.divided(usage)["call", AROUND_CALLS]
    assert put_away == price.divided(usage)["scale", BESIDE_STEPS]
    assert 1 == price.divided(usage)["compare", "compare"]
    assert own + inside == sum(price.divided(usage).values())


def test_side_that_does_not_call_pays_for_no_call() -> None:
    """An odd height jumps over the call, 3: nothing is put away; only the saved register is for both."""
    called = program(called_routines.breakers, **BREAKERS)
    usage = plain.compiled(called).usage([run_generated(plain.compiled(called), (9, 4, 0))[1]])

    for cpu, saved, _ in CPUS:
        own = CALL_AND_RETURN + saved + (1 + 1 + 3) + 1
        assert own == program_price(with_registers(*cpu), called).total(usage)


def masked_twice(height: Bits) -> Bits:
    """One wide constant in two steps."""
    height = height ^ 0x5A
    return (height & 0x5A) << 1


def masked_around_a_call(height: Bits) -> Bits:
    """The same, and a call between them."""
    height = called_routines.turned(height ^ 0x5A)
    return (height & 0x5A) << 1


def masked_around_a_side(height: Bits) -> Bits:
    """The same, and a side that calls."""
    height = height ^ 0x5A
    if height < 4:
        height = called_routines.turned(height)
    return (height & 0x5A) << 1


def masked_in_rounds(height: Bits) -> Bits:
    """A wide constant in rounds that call."""
    for _ in range(3):
        height = called_routines.turned(height ^ 0x5A)
    return height


# Loads of the constant, 1000 each, in each stretch; in a round it is loaded each time, and in front of the
# loop a move of 10 sets the counter.
LOADS = [
    (masked_twice, [1000]),
    (masked_around_a_call, [2000]),
    (masked_around_a_side, [2000, 0, 0]),
    (masked_in_rounds, [10, 1000]),
]


@pytest.mark.parametrize(("routine", "loads"), LOADS)
def test_constant_does_not_outlast_a_call(routine: Callable[..., object], loads: list[float]) -> None:
    """A register that a constant was loaded into is another's in what is called, so it is loaded again."""
    price = program_price(with_registers(16, 8), program(routine, height=8))
    found = [
        sum(cycles for (_, what), cycles in stretch.items() if what == "load_constant")
        for stretch in price.stretches
    ]

    assert loads == found


# Of two calls of an addition in binary32, which y outlasts: call, return, arguments. On a Cortex-M0+ y lies
# in one of four registers that are kept, which is saved (4 + 2 for one); a Z80 keeps none, and moves four
# bytes into memory and back (19 each).
ON_CPUS = {"cortex-m0plus": 3 + 2 + 2 + (4 + 2), "z80": 17 + 10 + 127 + 4 * (19 + 19)}


@pytest.mark.parametrize("cpu", ON_CPUS)
def test_two_calls_cost_two_operations_and_what_calls(cpu: str) -> None:
    """A called addition costs what the operation does; the routine that calls is called itself."""
    once, twice = (
        Use(each, binary32, LEAN) for each in (OPERATIONS["addition"], called_routines.TWICE_ADDED)
    )
    addition, both = plain.compiled(once.program), plain.compiled(twice.program)
    (height,), first = run_generated(addition, (FIRST, SECOND))
    _, second = run_generated(addition, (height, SECOND))
    _, record = run_generated(both, (FIRST, SECOND))
    model = cost_model(cpu)
    operations = program_price(model, once.program).total(addition.usage([first, second]))
    all_of_it = program_price(model, twice.program).total(both.usage([record]))

    assert ON_CPUS[cpu] == pytest.approx(all_of_it - operations)


def test_extremes_take_in_what_is_called() -> None:
    """The lowest way is over the call, 3 for 2; the highest calls, compares 1 and jumps 3."""
    called = program(called_routines.breakers, **BREAKERS)
    around = CALL_AND_RETURN + SAVING + 1 + 1 + 1
    found = extremes(program_price(with_registers(9, 8), called), called)

    assert (around + 3, around + 2 + CALL_AND_RETURN + 1 + 3) == found


# -- tallies -------------------------------------------------------------------------------------------


@pytest.fixture
def tally(monkeypatch: pytest.MonkeyPatch) -> Tally:
    """A sum of three, as two calls of an addition, among the operations; in one line."""
    monkeypatch.setitem(OPERATIONS, "twice_added", called_routines.TWICE_ADDED)
    with environment(options=LEAN), counting() as counted:
        for _ in range(3):
            apply(called_routines.TWICE_ADDED, binary32, (FIRST, SECOND))
    return counted


def test_tally_of_calls_comes_back_from_its_file(tally: Tally, tmp_path: Path) -> None:
    """What was called is in the file of a tally, which means the same when it is read."""
    tally.save(tmp_path / "tally.json")
    (usage,) = load(tmp_path / "tally.json").usages().values()

    assert list(tally.usages().values()) == [usage]
    assert [6] == [called.calls for called in usage.callees]
    assert tally == load(tmp_path / "tally.json")


def test_tallies_of_calls_are_added(tally: Tally) -> None:
    """Twice the tally has twice the calls, inside too."""
    (usage,) = (tally + tally).usages().values()

    assert 6 == usage.calls
    assert [12] == [called.calls for called in usage.callees]


def test_reports_say_what_calls_took(tally: Tally) -> None:
    """Phases are those of what was called; the operation has three calls, and all cycles are shared out."""
    estimate = tally.estimate("cortex-m0plus")

    assert {("twice_added", "binary32"): 3} == tally.calls
    assert ("twice_added", "round") in estimate.by_phase
    assert estimate.cycles == pytest.approx(sum(estimate.by_phase.values()))
    assert estimate.cycles == pytest.approx(sum(estimate.by_line.values()))
    assert "twice_added" in str(estimate)
