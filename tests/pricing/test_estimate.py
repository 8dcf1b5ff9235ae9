"""Estimates: one addition priced by hand from the manual's figures, and how the parts add up."""

from __future__ import annotations

import pickle
from dataclasses import replace

import pytest

import softfloat_py as sf
from softfloat_py.errors import OperandError, QuantityError, UnknownNameError
from softfloat_py.pricing.estimate import Estimate, estimate
from softfloat_py.pricing.program_price import AROUND_CALLS
from softfloat_py.pricing.step_prices import BESIDE_STEPS, CALIBRATION
from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.tally.tally import Tally
from tests.integer_form.test_counting import FIRST, SECOND

MEGAHERTZ = 1e6


def tally_of_calls(operation: str, calls: int = 1) -> Tally:
    """A tally of calls of an operation of two numbers, with lean options."""
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        for _ in range(calls):
            getattr(sf, operation)(sf.binary32.from_bits(FIRST), sf.binary32.from_bits(SECOND))
    return tally


@pytest.mark.parametrize(("settings", "in_memory"), [([False], False), ([True], True), ([False, True], None)])
def test_where_operands_were_is_known(settings: list[bool], in_memory: bool | None) -> None:
    """An estimate knows whether operands were in memory, if all operations agree on it."""
    with sf.counting() as tally:
        for setting in settings:
            with sf.environment(options=replace(sf.LEAN, in_memory=setting)):
                sf.addition(sf.binary32(0.25), sf.binary32(1.5))

    assert estimate(tally, "cortex-m0plus").in_memory is in_memory


@pytest.fixture(name="addition")
def _addition() -> Estimate:
    tally = tally_of_calls("addition")
    return estimate(tally, "cortex-m0plus", clock_hz=48 * MEGAHERTZ, deadline=1e-3)


def test_one_addition_costs_what_the_manual_says(addition: Estimate) -> None:
    """The sum of two accelerations, priced step by step from Arm DDI0484C, Table 3.1.

    The walk is that of `ONE_ADDITION` in tests/integer_form/test_counting.py: all steps and shifts take one
    cycle; a select is a branch over a move, 2; a taken branch takes 2, one not taken 1; a constant of up to
    8 bits is part of its instruction, a wider one is loaded in 2; a wider mask is two shifts.
    """
    one_cycle = {
        "shift_right": 6 + 1,  # sign, signs differ, two exponents, carry, odd bit; the rounded sum
        "shift_left": 2 + 2,  # two significands; exponent and sign into place
        "shift_right_variable": 1,
        "shift_left_variable": 1,
        "xor": 1,
        "and": 2 * 2 + 2 * 2 + 1,  # magnitudes, trailing significands: there and back; odd bit
        "or": 2 + 1 + 1,  # leading ones, sticky bit, sign
        "subtract": 2,
        "add": 1 + 2 + 1,  # significands, increment and rounding, exponent
    }
    compare = (
        1 + 2 + 1 + 1  # order, two exponents, clamp, overflow: branches look at them
        + 1 + 2  # sticky bit, which becomes a number by SUBS and SBCS
        + 1  # whether signs differ is a bit, compared with 0; whether the sum carries is in the flags
    )  # fmt: skip
    expected = {
        **one_cycle,
        "compare": compare,
        "select": 2,
        "branch_taken": 4 * 2,  # order, subnormal operand, signs, carry: no
        "branch_not_taken": 2 * 1,  # infinity or NaN, overflow: passing by sides that return
        "load_constant": (
            1 * 2  # the leading one, for both significands: six words held leave room for it
            + 1 * 2  # the encoding of infinity
        ),
    }  # fmt: skip

    assert expected == {
        what: cycles for what, cycles in addition.by_step.items() if what not in addition.around
    }


def test_what_surrounds_the_steps_follows_from_the_program(addition: Estimate) -> None:
    """A call takes BL 3, BX 2, two moves of arguments, and 4 + 2 × 3 for r4 to r6; copies take a move of 1.

    Seven words at the most are held: sign, whether signs differ, x and y, which may be infinite or NaN, both
    magnitudes, and an exponent.
    """
    copies = 1 + 2  # x before x ^ y, as both are needed later; what is shifted there and back, twice
    steps = 29 + 6 + 1  # of one cycle, comparisons, the select
    measured = steps * cost_model("cortex-m0plus").surrounding_code.moves_a_step.value

    assert 3 + 2 + 2 + (4 + 2 * 3) == addition.around[AROUND_CALLS]
    assert copies * 1 == pytest.approx(addition.around[BESIDE_STEPS])
    assert measured == pytest.approx(addition.around[CALIBRATION])


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
    vdiv = estimate(tally_of_calls("division", 5), "cortex-m0plus")
    maximum = estimate(tally_of_calls("maximum", 5), "cortex-m0plus")

    assert 5 * (14 + 1) == vdiv.fpu_cycles  # TI SWCU192, Table 3-27: VDIV.F32 14, and 1 if used at once
    assert {("maximum", "binary32"): 5} == maximum.fpu_missing


def test_whole_with_fpu_has_what_stays_in_software() -> None:
    """Calls that the FPU lacks are in the whole, at the price of their emulation."""
    maximum = estimate(tally_of_calls("maximum", 3), "cortex-m0plus")
    both = estimate(tally_of_calls("division", 5) + tally_of_calls("maximum", 3), "cortex-m0plus")

    assert both.fpu_cycles == pytest.approx(5 * (14 + 1) + maximum.cycles)  # VDIV.F32 14, as above
    assert both.fpu_software_cycles == pytest.approx(maximum.cycles)
    assert {("maximum", "binary32"): 3} == both.fpu_missing


def test_fpu_that_does_none_of_the_calls_has_no_figure() -> None:
    """Where a format or all operations are missing in the FPU, there is no whole that could read as one."""
    with sf.counting() as doubles:
        sf.binary64(1.5) / sf.binary64(0.3)

    for tally in (doubles, tally_of_calls("maximum", 3), Tally()):
        assert tally.estimate("cortex-m0plus").fpu_cycles is None
    assert tally_of_calls("division").estimate("atmega").fpu_cycles is None


def test_deadline_is_held_from_a_clock_on() -> None:
    """The slowest clock that holds a deadline is the cycles by it; whether parts reach it is told."""
    tally = tally_of_calls("addition", 1000)
    cycles = tally.estimate("cortex-m0plus").cycles
    late = tally.estimate("cortex-m0plus", clock_hz=16e6, deadline=cycles / 20e6)

    assert late.slowest_clock_hz == pytest.approx(20e6)
    assert (False, False) == (late.holds_deadline, late.needs_faster_part)
    assert tally.estimate("cortex-m0plus", clock_hz=20.1e6, deadline=cycles / 20e6).holds_deadline
    # The fastest parts have 200 MHz, says the table.
    assert tally.estimate("cortex-m0plus", deadline=cycles / 200.1e6).needs_faster_part
    assert not tally.estimate("cortex-m0plus", deadline=cycles / 199.9e6).needs_faster_part
    without = tally.estimate("cortex-m0plus")
    assert (None, None, False) == (
        without.holds_deadline,
        without.slowest_clock_hz,
        without.needs_faster_part,
    )


def test_a_clock_is_one_of_parts_sold_or_not() -> None:
    """Parts are sold from the lowest clock of the table to its highest, both included, and for no others."""
    tally, clock = tally_of_calls("addition"), cost_model("z80").clock
    clocks = {hertz: tally.estimate("z80", clock_hz=hertz) for hertz in (2.4e6, 2.5e6, 20e6, 20.1e6)}

    assert (2.5, 20) == (clock.lowest_mhz, clock.highest_mhz)
    assert [False, True, True, False] == [each.is_clock_of_parts_sold for each in clocks.values()]


@pytest.mark.parametrize("cpu", sf.cost_models())
def test_unless_given_the_clock_is_one_of_parts_sold(cpu: str) -> None:
    """The clock of an estimate that names none has parts, also where MHz in hertz is no whole number."""
    assert tally_of_calls("addition").estimate(cpu).is_clock_of_parts_sold


def test_printed_estimate_is_a_screen_and_details_are_all() -> None:
    """`print` shows what decides; every step is in the details."""
    shown = tally_of_calls("addition").estimate("cortex-m0plus")

    assert "\nLargest phases\n" in str(shown)
    assert "\nBy step\n" not in str(shown)
    assert "\nBy step\n" in shown.details()


def test_unknown_cpu_is_named_with_a_suggestion() -> None:
    """A CPU without a cost model is one clear sentence."""
    with pytest.raises(UnknownNameError, match="not 'atmegga'; did you mean 'atmega'"):
        estimate(tally_of_calls("addition"), "atmegga")


def test_what_is_no_cost_model_is_refused() -> None:
    """A CPU is a cost model or its name, nothing else."""
    with pytest.raises(OperandError) as caught:
        tally_of_calls("addition").estimate(3)  # type: ignore[arg-type]

    assert str(caught.value) == (
        "an estimate needs a cost model or the name of one, not 3; "
        "load_cost_model(path) reads a file of one's own"
    )


@pytest.mark.parametrize("value", [0, -1, -16e6, float("nan"), float("inf"), "16"])
@pytest.mark.parametrize("name", ["clock_hz", "deadline"])
def test_clock_and_deadline_are_above_zero(name: str, value: object) -> None:
    """A clock that does not run, and a deadline that leaves no time, are refused."""
    with pytest.raises(QuantityError) as caught:
        estimate(tally_of_calls("addition"), "atmega", **{name: value})  # type: ignore[arg-type]

    assert f"{name} must be a finite number above 0, not {value!r}" == str(caught.value)
    assert isinstance(caught.value, ValueError)
    assert str(caught.value) == str(pickle.loads(pickle.dumps(caught.value)))
