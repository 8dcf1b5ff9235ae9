"""Estimates as text, HTML and data: made-up figures come out where and as they belong."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from html import unescape
from typing import Any

import pytest

from softfloat_py.pricing.cost_model import CompiledCode, CostModel
from softfloat_py.pricing.estimate import Spread
from softfloat_py.pricing.figures import Document, Origin, Standing
from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.tally import Line
from softfloat_py.views.estimate_table import (
    CAUTION,
    as_data,
    details,
    html,
    summary_table,
    text,
)

ADD, SQUARE, ROOT = ("addition", "binary32"), ("multiplication", "binary32"), ("square_root", "binary64")


@dataclass(frozen=True)
class MadeUp:
    """What the views read of an estimate, with figures that are easily recognised."""

    cpu: CostModel = field(default_factory=lambda: cost_model("cortex-m0plus"))
    clock_hz: float = 16e6
    deadline: float | None = 0.25
    calls: dict[tuple[str, str], int] = field(default_factory=lambda: {ADD: 4000, SQUARE: 1000, ROOT: 1})
    cycles: float = 800_000.0
    seconds: float = 0.05
    by_operation: dict[tuple[str, str], float] = field(
        default_factory=lambda: {SQUARE: 199_600.0, ADD: 600_000.0, ROOT: 400.0}
    )
    by_phase: dict[tuple[str, str], float] = field(
        default_factory=lambda: {("addition", "align"): 320_000.0, ("addition", "round"): 480_000.0}
    )
    by_step: dict[str, float] = field(
        default_factory=lambda: {"add": 500_000.0, "call": 0.0, "moves and spills": 300_000.0}
    )
    by_line: dict[Line, float] = field(default_factory=lambda: {Line("somewhere/buoy.py", 7): 800_000.0})
    around: dict[str, float] = field(default_factory=lambda: {"moves and spills": 300_000.0})
    options: tuple[str, ...] = ("lean",)
    each_call: dict[tuple[str, str], Spread] = field(default_factory=dict)
    by_calls: dict[tuple[str, str], float] = field(default_factory=dict)
    calls_without_figure: dict[tuple[str, str], int] = field(default_factory=dict)
    fpu_cycles: float | None = 8_000.0
    fpu_missing: dict[tuple[str, str], int] = field(default_factory=lambda: {ROOT: 1})
    deadline_share: float | None = 0.2


def made_up(**changes: Any) -> Any:
    """An estimate with some figures changed."""
    return replace(MadeUp(), **changes)


def compared_twice() -> CostModel:
    """A CPU with two comparisons with compiled code that have one note."""
    origin = Origin(Document("a bench"), Standing.MEASURED, note="made for this test")
    compared = (
        CompiledCode("the buoy's compiler, old version", "addition", 2.0, 3.0, origin),
        CompiledCode("the buoy's compiler", "square_root", 0.75, 1.5, origin),
    )
    return replace(cost_model("cortex-m0plus"), compared_with_compiled_code=compared)


def test_text(golden: Callable[[str], None]) -> None:
    """The whole text of an estimate: totals, four breakdowns, the FPU, the comparison, the caution."""
    golden(text(made_up()))


def test_html_says_what_the_text_says() -> None:
    """In a notebook, the same lines appear."""
    shown = unescape(html(made_up()))

    for line in text(made_up()).split(CAUTION)[0].splitlines():
        assert line.strip() in shown
    assert CAUTION in shown


def test_caution_comes_once() -> None:
    """Several estimates in one output share one caution."""
    assert 1 == details([made_up(), made_up()]).count(CAUTION)
    assert 1 == summary_table([made_up(), made_up()]).count(CAUTION)


def test_summary() -> None:
    """A summary has a line an estimate; a dash stands for what is not known."""
    lines = summary_table([made_up(), made_up(deadline=None, fpu_cycles=None)]).splitlines()

    assert lines[:3] == [
        "CPU             clock   cycles     time  of the deadline  cycles with an FPU",
        "cortex-m0plus  16 MHz  800 000  50.0 ms             20 %               8 000",
        "cortex-m0plus  16 MHz  800 000  50.0 ms                -                   -",
    ]


def test_without_deadline_or_comparison() -> None:
    """Without a deadline there is no share; a CPU that was not compared with compiled code says so."""
    shown = text(made_up(cpu=cost_model("cortex-m4"), deadline=None))

    assert "\n800 000 cycles, 50.0 ms\n" in shown
    assert "\nHow far to trust it\n  not yet compared with compiled code\n" in shown


def test_without_fpu() -> None:
    """A CPU without a sibling part that has an FPU says so."""
    shown = text(made_up(cpu=cost_model("atmega")))

    assert "\nWith an FPU\n  no figures for a sibling part with an FPU\n" in shown


def test_fpu_that_does_all() -> None:
    """Where the FPU does every operation, the two can be set in proportion."""
    assert "\n  emulation takes 100 times as many cycles\n" in text(made_up(fpu_missing={}))


def test_nothing_counted() -> None:
    """An empty tally has an estimate that can be printed."""
    empty = ("calls", "by_operation", "by_phase", "by_step", "by_line", "around", "fpu_missing")
    nothing = made_up(**{name: {} for name in empty}, cycles=0.0, seconds=0.0, fpu_cycles=0.0, options=())

    assert "\n0 cycles, 0 s, 0.00 % of the deadline of 250 ms\n" in text(nothing)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("cpu", "cortex-m0plus"),
        ("cycles", 800_000.0),
        ("deadline_seconds", 0.25),
        ("deadline_share", 0.2),
        ("options", ["lean"]),
        ("calls", [
            {"operation": "addition", "format": "binary32", "calls": 4000},
            {"operation": "multiplication", "format": "binary32", "calls": 1000},
            {"operation": "square_root", "format": "binary64", "calls": 1},
        ]),
        ("by_line", [{"file": "somewhere/buoy.py", "line": 7, "cycles": 800_000.0}]),
        ("fpu_missing", [{"operation": "square_root", "format": "binary64", "calls": 1}]),
    ],
)  # fmt: skip
def test_data(key: str, value: object) -> None:
    """As data, an estimate survives JSON with every part under its name."""
    assert value == json.loads(json.dumps(as_data(made_up())))[key]


def test_compared_range_covers_all_comparisons() -> None:
    """The ratio to compiled code ranges over all comparisons of the model."""
    estimate = made_up(cpu=compared_twice())

    assert (0.75, 3.0) == as_data(estimate)["compiled_over_estimate"]
    assert "\n  compiled code took 0.75 to 3.00 times the estimate, where the" in text(estimate)


def test_each_comparison_has_its_line_and_notes_come_once() -> None:
    """Below the range stand the comparisons, then what their notes say, equal notes once."""
    shown = text(made_up(cpu=compared_twice()))

    assert shown.split("were compared:\n")[1].startswith(
        "  2.00 to 3.00  the buoy's compiler, old version\n    addition\n"
        "  0.75 to 1.50  the buoy's compiler\n    square_root\n"
        "  made for this test\n"
        "\n"
    )


def test_comparisons_are_data() -> None:
    """As data, a comparison is a record with its note."""
    assert {
        "compiler": "the buoy's compiler",
        "operations": "square_root",
        "lowest_ratio": 0.75,
        "highest_ratio": 1.5,
        "note": "made for this test",
    } == as_data(made_up(cpu=compared_twice()))["compared_with_compiled_code"][1]


def test_small_shares_have_one_row_together() -> None:
    """Several entries of less than a thousandth are one row, so that the large ones stay in sight."""
    shown = text(made_up(by_step={"add": 799_000.0, "or": 400.0, "and": 300.0, "xor": 300.0}))

    assert "  add             799 000   100 %\n  3 smaller ones    1 000  0.12 %\n" in shown
