"""Estimates: one addition priced by hand from the manual's figures, and how the parts add up."""

from __future__ import annotations

import pickle
from collections import Counter

import pytest

import softfloat_py as sf
from softfloat_py.errors import OperandError, QuantityError, UnknownNameError
from softfloat_py.integer_form.counting import Entry
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.estimate import AROUND_CALLS, BESIDE_STEPS, Estimate, estimate
from softfloat_py.pricing.native_steps import native_steps
from softfloat_py.pricing.table_reader import cost_model, cost_models
from softfloat_py.tally import Line, Origin, Tally
from tests.integer_form.test_counting import ONE_ADDITION

LINE = Line("buoy.py", 12)
MEGAHERTZ = 1e6


class CountedByHand(Tally):
    """A tally of one operation in binary32 on one line, whose steps are given."""

    def __init__(self, entries: list[Entry], calls: int, operation: str) -> None:
        super().__init__()
        origin = Origin(operation, "binary32", "lean", LINE)
        self._cells = [(origin, entry, count) for entry, count in Counter(entries).items()]
        self._calls = {origin: calls}

    @property
    def calls_by_origin(self) -> dict[Origin, int]:
        """The calls given."""
        return self._calls


def tally_of(entries: list[Entry], calls: int = 1, operation: str = "addition") -> Tally:
    """A tally of one operation in binary32 on one line."""
    return CountedByHand(entries, calls, operation)


def tally_of_calls(operation: str, calls: int) -> Tally:
    """A tally of real calls of an operation of two numbers."""
    with sf.counting() as tally:
        for n in range(calls):
            getattr(sf, operation)(sf.binary32(1.5 + n), sf.binary32(0.1))
    return tally


@pytest.fixture(name="addition")
def _addition() -> Estimate:
    return estimate(tally_of(ONE_ADDITION), "cortex-m0plus", clock_hz=48 * MEGAHERTZ, deadline=1e-3)


def test_one_addition_costs_what_the_manual_says(addition: Estimate) -> None:
    """The sum of two accelerations, priced step by step from Arm DDI0484C, Table 3.1.

    The walk has 35 ALU steps and shifts of one cycle, counted below by kind; a select is a branch over a
    move, 2; a taken branch 2; a constant of up to 8 bits is part of its instruction, a wider one is loaded
    in 2.
    """
    alu = {
        "shift_right": 6 + 1,  # sign, signs differ, two exponents, carry, odd bit; the rounded sum
        "shift_left": 2 + 2,  # two significands; exponent and sign into place
        "shift_right_variable": 1,
        "shift_left_variable": 1,
        "xor": 1,
        "and": 2 + 2 + 1,  # magnitudes, trailing significands, odd bit
        "or": 2 + 1 + 1,  # leading ones, sticky bit, sign
        "compare": 1 + 2 + 2 + 1,  # order, two exponents, clamp and sticky, overflow
        "subtract": 2,
        "add": 1 + 2 + 1,  # significands, increment and rounding, exponent
    }
    select, branches_taken, wide_constants = 1, 6, 2 + 4 + 1

    by_hand = sum(alu.values()) * 1 + select * 2 + branches_taken * 2 + wide_constants * 2

    assert by_hand == sum(addition.by_step.values()) - sum(addition.around.values())


def test_what_surrounds_the_steps_is_a_part_of_its_own(addition: Estimate) -> None:
    """A call takes BL 3, return 2, two moves of arguments and 4 + 2 × 4 of saved registers; beside the native
    steps, 17 % have a move of one cycle.
    """
    native = len(ONE_ADDITION) - 2 - sum(e.kind == "load_constant" and e.width <= 8 for e in ONE_ADDITION)

    assert 3 + 2 + 2 + 12 == addition.around[AROUND_CALLS]
    assert native * 0.17 == pytest.approx(addition.around[BESIDE_STEPS])


def test_time_follows_from_the_clock_and_the_deadline(addition: Estimate) -> None:
    """Seconds are cycles by the clock, the share is seconds by the deadline."""
    assert addition.cycles / 48e6 == addition.seconds
    assert addition.seconds / 1e-3 == addition.deadline_share


def test_every_breakdown_adds_up_to_the_whole(addition: Estimate) -> None:
    """By operation, phase, step and line, the same cycles are divided."""
    for breakdown in (addition.by_operation, addition.by_phase, addition.by_step, addition.by_line):
        assert addition.cycles == pytest.approx(sum(breakdown.values()))


def test_estimates_of_tallies_add_up() -> None:
    """Pricing a sum of tallies is the sum of the prices."""
    one, two = tally_of_calls("addition", 1), tally_of_calls("subtraction", 3)

    together = estimate(one + two, "atmega").cycles

    assert estimate(one, "atmega").cycles + estimate(two, "atmega").cycles == pytest.approx(together)


def test_part_with_fpu_does_what_its_table_lists() -> None:
    """The sibling's figure is that of the operation; what it lacks is named."""
    vdiv = estimate(tally_of(ONE_ADDITION, 5, "division"), "cortex-m0plus")
    maximum = estimate(tally_of(ONE_ADDITION, 5, "maximum"), "cortex-m0plus")

    assert 5 * 14 == vdiv.fpu_cycles  # TI SWCU192, Table 3-27: VDIV.F32 14
    assert {("maximum", "binary32"): 5} == maximum.fpu_missing


def test_unknown_cpu_is_named_with_a_suggestion() -> None:
    """A CPU without a cost model is one clear sentence."""
    with pytest.raises(UnknownNameError, match="not 'atmegga'; did you mean 'atmega'"):
        estimate(tally_of(ONE_ADDITION), "atmegga")


def test_what_is_no_cost_model_is_refused() -> None:
    """A CPU is a cost model or its name, nothing else."""
    with pytest.raises(OperandError) as caught:
        tally_of(ONE_ADDITION).estimate(3)  # type: ignore[arg-type]

    assert str(caught.value) == (
        "an estimate needs a cost model or the name of one, not 3; "
        "load_cost_model(path) reads a file of one's own"
    )


@pytest.mark.parametrize("value", [0, -1, -16e6, float("nan"), float("inf"), "16"])
@pytest.mark.parametrize("name", ["clock_hz", "deadline"])
def test_clock_and_deadline_are_above_zero(name: str, value: object) -> None:
    """A clock that does not run, and a deadline that leaves no time, are refused."""
    with pytest.raises(QuantityError) as caught:
        estimate(tally_of(ONE_ADDITION), "atmega", **{name: value})  # type: ignore[arg-type]

    assert f"{name} must be a finite number above 0, not {value!r}" == str(caught.value)
    assert isinstance(caught.value, ValueError)
    assert str(caught.value) == str(pickle.loads(pickle.dumps(caught.value)))


@pytest.mark.parametrize("name", cost_models())
def test_every_committed_model_prices_every_kind(name: str) -> None:
    """All kinds a tally may hold have a price of more than nothing at all widths, constants apart."""
    entries = [
        Entry("p", kind, width, feature)
        for width in (1, 5, 8, 27, 32, 56, 106)
        for kind, feature in (
            *((k, None) for k in ("add", "subtract", "and", "or", "xor", "not", "compare", "select", "move")),
            *((k, 1) for k in ("shift_left", "shift_right", "shift_left_variable", "shift_right_variable")),
            ("multiply", 1),
            ("count_leading_zeros", 1),
        )
        if not (kind.startswith("shift") and width == 1)
    ]
    model = cost_model(name)

    assert all(estimate(tally_of([entry]), model).by_step[entry.kind] > 0 for entry in entries)


def test_wide_constants_are_loaded_word_by_word() -> None:
    """A word that fits an immediate costs nothing, every other one is loaded."""
    machine = Machine(16, True, True, 16, False, 8)

    assert Counter() == native_steps("load_constant", 8, None, machine)
    assert {16: 2} == {e.width: n for e, n in native_steps("load_constant", 36, None, machine).items()}
