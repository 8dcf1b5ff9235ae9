"""How far to trust an estimate: elementary functions are spoken of by themselves."""

from __future__ import annotations

from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.measured_calls import measured_calls
from softfloat_py.uses import Use
from softfloat_py.views import cpu_table
from softfloat_py.views.estimate_comparison import side_by_side
from softfloat_py.views.estimate_data import as_data
from softfloat_py.views.estimate_table import details, overview
from softfloat_py.views.trust import kinds_among
from tests.views.made_up import (
    compared_twice,
    compared_with_functions,
    compared_with_kernels,
    made_up,
    measured_on_a_board,
)

SUM, EXPONENTIAL = ("addition", "binary32"), ("exp", "binary32")
SUMS_MEASURED = "compiled code took 0.75 to 3.00 times the estimate"
FUNCTIONS_MEASURED = "compiled elementary functions took 1.25 to 2.50 times the estimate"
FUNCTIONS_NOT = "elementary functions not yet compared with compiled code"


def calling(cpu: CostModel, *operations: tuple[str, str]) -> Any:
    """An estimate on a CPU with one call of each operation."""
    every = dict.fromkeys(operations, 1)
    return made_up(cpu=cpu, calls=every, by_operation=dict.fromkeys(operations, 800_000.0 / len(every)))


@pytest.mark.parametrize(
    ("calls", "kinds"),
    [([SUM], [False]), ([EXPONENTIAL], [True]), ([EXPONENTIAL, SUM], [False, True]), ([], [False])],
)
def test_kinds_among_calls(calls: list[tuple[str, str]], kinds: list[bool]) -> None:
    """Functions of clause 9.2 are one kind, all other operations another."""
    assert kinds == kinds_among(calls)


def test_a_kernel_with_both_kinds_has_a_range_of_each() -> None:
    """Both ranges stand one below the other, shortly and in full, each with its own comparisons."""
    estimate = calling(compared_with_functions(), SUM, EXPONENTIAL)

    assert f"\n  {SUMS_MEASURED} where measured\n  {FUNCTIONS_MEASURED} where measured\n" in overview(
        estimate
    )
    assert (
        details([estimate])
        .split(f"{FUNCTIONS_MEASURED}, where the two were compared:\n")[1]
        .startswith(
            "  1.25 to 2.50  the buoy's compiler\n    exp\n  made for this test\n  with few registers\n"
        )
    )


def test_what_was_measured_of_sums_is_not_said_of_functions() -> None:
    """A kernel of functions alone has no range where only other operations were compared."""
    for shown in (overview, lambda estimate: details([estimate])):
        said = shown(calling(compared_twice(), EXPONENTIAL))

        assert FUNCTIONS_NOT in said
        assert SUMS_MEASURED not in said


def test_functions_have_a_row_of_their_own_side_by_side() -> None:
    """Beside each other, CPUs show both ranges, and a dash where functions were not compared."""
    models = compared_twice(), compared_with_functions()
    lines = side_by_side([calling(model, SUM, EXPONENTIAL) for model in models]).splitlines()

    assert ["0.75 to 3.00 0.75 to 3.00", "- 1.25 to 2.50"] == [
        " ".join(line.partition("by estimate")[2].split()) for line in lines if "by estimate" in line
    ]


KERNELS = "compiled kernels, with their loops, loads and stores, took {} times the estimate"


@pytest.mark.parametrize(("in_memory", "ratios"), [(False, "1.50 to 3.25"), (True, "1.00 to 2.25")])
def test_whole_kernels_have_a_line_in_the_setting_of_the_estimate(in_memory: bool, ratios: str) -> None:
    """Of kernels that were compared, an estimate shows those whose operands were where its own are."""
    estimate = made_up(cpu=compared_with_kernels(), in_memory=in_memory)
    shown = details([estimate])

    assert f"{SUMS_MEASURED} where measured, whole kernels {ratios} times\n" in overview(estimate)
    assert KERNELS.format(ratios) in shown
    assert f"\n    whole kernels, operands in {'memory' if in_memory else 'registers'}: waves\n" in shown
    assert 1 == shown.count("compiled kernels")
    assert shown.index("with many loops") > shown.index("waves")


def test_whole_kernels_say_nothing_of_what_was_not_in_them() -> None:
    """Estimates with elementary functions, or with operands here and there, have no line on kernels."""
    functions = calling(compared_with_kernels(), SUM, EXPONENTIAL)
    mixed = made_up(cpu=compared_with_kernels(), in_memory=None)

    assert "kernels" not in overview(functions) + overview(mixed)


def test_deadlines_that_a_kernel_may_miss_are_not_just_held() -> None:
    """The most that a compiled kernel took decides on a deadline too."""
    share = 1 / 3.125  # 3.00 times the estimate, the most of single operations, would hold it

    assert ": held, but not by 3.25 times" in overview(
        made_up(cpu=compared_with_kernels(), deadline_share=share)
    )
    assert ": held\n" in overview(made_up(cpu=compared_twice(), deadline_share=share))


def body_of_three_additions(model: CostModel) -> float:
    """What a model estimates for the operands of the board's readings, a call, without calling it."""
    calls = measured_calls(Use.named("addition", sf.binary32, sf.LEAN), 3)
    call_and_return = model.steps["call"][0].cycles + model.steps["return"][0].cycles
    return (
        calls.tally.estimate(model).cycles / 3
        - call_and_return
        - model.surrounding_code.argument_passing.cycles
    )


def test_readings_of_a_board_stand_beside_estimates() -> None:
    """Shortly, the ratio with the board, who and when; in full the compiler and each operation's cycles too,
    those of the ticks: 2 cycles each.
    """
    model = measured_on_a_board()
    estimated = body_of_three_additions(model)
    ratio = f"{300 / estimated:.2f}"
    said = f"1 operation took {ratio} to {ratio} times the estimate on the bench, by the crew, 2026-03-31"
    row = ["addition", "binary32", "200", "300", "401", f"{estimated:.0f}"]

    assert f"\n  {said}\n" in overview(calling(model, SUM))
    for full in (details([calling(model, SUM)]), cpu_table.figures(model)):
        assert f"\n  {said}:\n    RP2040 at 12 MHz, the buoy's compiler, -O2; a made-up timer\n" in full
        assert row in [line.split() for line in full.splitlines()]


def test_readings_of_a_board_are_data() -> None:
    """As data, a set has who, where, with what and when, and each operation's cycles."""
    model = measured_on_a_board()
    (measured,) = as_data(calling(model, SUM))["measured_on_silicon"]
    (addition,) = measured.pop("operations")

    assert {
        "who": "the crew", "board": "the bench", "date": "2026-03-31", "compiler": "the buoy's compiler, -O2",
    } == measured  # fmt: skip
    assert 300 == addition["measured_cycles"]
    assert body_of_three_additions(model) == pytest.approx(addition["estimated_cycles"])
    assert ("addition", "binary32") == (addition["operation"], addition["format"])
