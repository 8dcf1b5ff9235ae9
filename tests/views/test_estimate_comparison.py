"""Estimates beside each other: rows and columns stand where they belong, and marks are explained."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pytest

from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.tally.tally import Departure, Line
from softfloat_py.views.estimate_comparison import side_by_side, summary_table
from softfloat_py.views.estimate_table import CAUTION
from softfloat_py.views.trust import code_cell
from tests.views.made_up import ADD, Noted, code_of, compared_twice, compared_with_functions, made_up

COMPARED = "+ such operations were compared with code of this compiler; without it, they were not"
MISSED: dict[str, Any] = {"deadline": 0.025, "deadline_share": 2.0, "holds_deadline": False}


def test_summary_has_a_line_for_each() -> None:
    """A line an estimate, with the deadline held or the clock that holds it; marks have their footnotes."""
    shown = summary_table([
        made_up(cpu=code_of("buoy-c", "mc68000", compared=True)),
        made_up(
            cpu=code_of("tide-c", "m4k", compared=False), fpu_missing={}, **MISSED, slowest_clock_hz=32e6
        ),
        made_up(
            cpu=code_of("tide-c", "atmega", compared=True), fpu_cycles=None, fpu_missing={},
            **MISSED, slowest_clock_hz=320.1e6, needs_faster_part=True,
        ),
    ])  # fmt: skip

    assert shown.splitlines()[:9] == [
        "CPU      code       clock   cycles     time  of the deadline            held  cycles with an FPU",
        "mc68000  buoy-c +  16 MHz  800 000  50.0 ms             20 %             yes               8 000  *",
        "m4k      tide-c    16 MHz  800 000  50.0 ms            200 %     from 32 MHz               8 000",
        "atmega   tide-c +  16 MHz  800 000  50.0 ms            200 %  from 321 MHz !                   -",
        "",
        COMPARED,
        "! is a clock beyond that of the fastest parts",
        "* with an FPU, some calls stay in software, and are in the figure at their price here:",
        "  1 square_root binary64",
    ]


def test_summary_without_deadline() -> None:
    """Without a deadline there are no columns for it, and no other footnote than that of the comparisons."""
    lines = summary_table([made_up(deadline=None, fpu_missing={})]).splitlines()

    assert lines[:5] == [
        "CPU            code       clock   cycles     time  cycles with an FPU",
        "cortex-m0plus  gcc-O2 +  16 MHz  800 000  50.0 ms               8 000",
        "",
        COMPARED,
        "",
    ]
    assert CAUTION.splitlines() == lines[5:]


def test_what_was_not_compared_has_no_mark() -> None:
    """A CPU is marked for what is asked of it alone: sums that were compared say nothing of functions."""
    functions = {ADD: 1, ("exp", "binary32"): 1}
    all_compared, sums_compared = compared_with_functions(), compared_twice()

    assert ["gcc-O2 +", "gcc-O2 +", "gcc-O2", "tide-c"] == [
        code_cell(estimate)
        for estimate in (
            made_up(cpu=sums_compared),
            made_up(cpu=all_compared, calls=functions),
            made_up(cpu=sums_compared, calls=functions),
            made_up(cpu=code_of("tide-c", "atmega", compared=False)),
        )
    ]


@pytest.mark.parametrize("view", [summary_table, side_by_side])
def test_a_table_of_nothing_compared_says_so(view: Callable[[Sequence[Any]], str]) -> None:
    """Where no CPU has the mark, the line that explains it says that none was compared."""
    not_compared = made_up(cpu=code_of("tide-c", "m4k", compared=False))

    assert "\nnone of these was compared with compiled code\n" in view([not_compared] * 2)


def test_footnote_tells_which_cpus_lack_what() -> None:
    """Where siblings leave different calls in software, each set of calls has its line with the CPUs."""
    shown = summary_table([
        made_up(),
        made_up(cpu=cost_model("cortex-m3"), fpu_missing={ADD: 4000}),
        made_up(cpu=cost_model("cortex-m4")),
    ])  # fmt: skip

    assert (
        "\n  1 square_root binary64 (cortex-m0plus, cortex-m4)\n  4 000 addition binary32 (cortex-m3)\n"
        in shown
    )


def test_clocks_of_no_part_are_named_below_the_tables() -> None:
    """The CPUs for which no part has the clock are named with the clocks that they are sold for."""
    estimates = [
        made_up(),
        made_up(cpu=cost_model("z80"), clock_hz=48e6, is_clock_of_parts_sold=False),
        made_up(cpu=cost_model("sh-2"), clock_hz=2e6, is_clock_of_parts_sold=False),
    ]
    note = "\n  z80 (2.5 to 20 MHz), sh-2 (20 to 80 MHz)\n"

    for view in (summary_table, side_by_side):
        assert note in view(estimates)
        assert "outside the range" not in view(estimates[:1])


def test_side_by_side(golden: Callable[[str], None]) -> None:
    """A column a CPU, a line an operation, then totals, times, the deadline, the comparisons."""
    golden(
        side_by_side([
            made_up(),
            made_up(cpu=cost_model("z80"), fpu_cycles=None, **MISSED, slowest_clock_hz=32.01e6,
                    needs_faster_part=True),
        ])
    )  # fmt: skip


def test_many_cpus_have_several_tables() -> None:
    """Beyond what a screen has room for, further CPUs stand in a table below, with one caution for all."""
    shown = side_by_side([made_up()] * 7)

    assert [6, 1] == [line.count("cortex-m0plus") for line in shown.splitlines() if "cortex-m0plus" in line]
    assert 1 == shown.count(CAUTION)


def test_what_was_not_counted_stands_above_the_tables() -> None:
    """What left the emulation is said once, before the first number."""
    lossy = Noted(left={Departure(Line("somewhere/filter.py", 14), "float"): 512})
    line = "not counted: 512 values left the emulation at filter.py:14 (float)\n\n"

    for view in (summary_table, side_by_side):
        assert view([made_up(tally=lossy)] * 2).startswith(line)
