"""How far to trust an estimate: elementary functions are spoken of by themselves."""

from __future__ import annotations

from typing import Any

import pytest

from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.views.estimate_comparison import side_by_side
from softfloat_py.views.estimate_table import details, overview
from softfloat_py.views.trust import kinds_among
from tests.views.made_up import compared_twice, compared_with_functions, compared_with_kernels, made_up

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

    assert f"{SUMS_MEASURED} where measured\n  {KERNELS.format(ratios)}\n" in overview(estimate)
    assert KERNELS.format(ratios) in shown
    assert f"\n    whole kernels, operands in {'memory' if in_memory else 'registers'}: waves\n" in shown
    assert 1 == shown.count("compiled kernels")
    assert shown.index("with many loops") > shown.index("waves")


def test_whole_kernels_say_nothing_of_what_was_not_in_them() -> None:
    """Estimates with elementary functions, or with operands here and there, have no line on kernels."""
    functions = calling(compared_with_kernels(), SUM, EXPONENTIAL)
    mixed = made_up(cpu=compared_with_kernels(), in_memory=None)

    assert "compiled kernels" not in overview(functions) + overview(mixed)


def test_deadlines_that_a_kernel_may_miss_are_not_just_held() -> None:
    """The most that a compiled kernel took decides on a deadline too."""
    share = 1 / 3.125  # 3.00 times the estimate, the most of single operations, would hold it

    assert ": held, but not by 3.25 times" in overview(
        made_up(cpu=compared_with_kernels(), deadline_share=share)
    )
    assert ": held\n" in overview(made_up(cpu=compared_twice(), deadline_share=share))
