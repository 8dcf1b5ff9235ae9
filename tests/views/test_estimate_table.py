"""One estimate as text and HTML: made-up figures come out where and as they belong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from html import unescape

from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.tally.tally import Birth, Departure, Line
from softfloat_py.views.estimate_comparison import summary_table
from softfloat_py.views.estimate_table import CAUTION, details, html, overview
from tests.views.made_up import Noted, compared_twice, made_up

SCREEN = 45  # lines, those that the command prints above included


def test_text(golden: Callable[[str], None]) -> None:
    """The whole text of an estimate: totals, four breakdowns, the FPU, the comparison, the caution."""
    golden(details([made_up()]))


def test_overview(golden: Callable[[str], None]) -> None:
    """What decides: totals, the largest of each breakdown, the FPU, the trust in two lines, the caution."""
    golden(overview(made_up()))


def test_overview_fits_a_screen() -> None:
    """However much there is, the overview shows the largest of it, and sums of the rest."""
    calls = {(f"operation_{n}", "binary32"): 1000 for n in range(40)}
    cycles = {call: 20_000.0 - 100 * n for n, call in enumerate(calls)}
    lines = {Line("buoy.py", n): 20_000.0 - 100 * n for n in range(40)}
    phases = {(operation, "round"): amount for (operation, _), amount in cycles.items()}
    shown = overview(made_up(calls=calls, by_operation=cycles, by_line=lines, by_phase=phases))

    assert len(shown.splitlines()) <= SCREEN
    assert 3 == shown.count("  35 smaller ones  ")


def test_html_says_what_the_text_says() -> None:
    """In a notebook, the same lines appear."""
    estimate = made_up(tally=LOSSY)
    shown = unescape(html(estimate))

    for line in details([estimate]).split(CAUTION)[0].splitlines():
        assert line.strip() in shown
    assert CAUTION in shown


def test_caution_comes_once() -> None:
    """Several estimates in one output share one caution."""
    assert 1 == details([made_up(), made_up()]).count(CAUTION)


def test_without_deadline_or_comparison() -> None:
    """Without a deadline there is no share; a CPU that was not compared with compiled code says so."""
    shown = details([made_up(cpu=cost_model("sh-2"), deadline=None)])

    assert "\n800 000 cycles, 50.0 ms\n" in shown
    assert "\nHow far to trust it\n  not yet compared with compiled code\n" in shown


def test_without_fpu() -> None:
    """A CPU without a sibling part that has an FPU says so."""
    shown = details([made_up(cpu=cost_model("atmega"))])

    assert "\nWith an FPU\n  no figures for a sibling part with an FPU\n" in shown


def test_fpu_that_does_all() -> None:
    """Where the FPU does every operation, nothing is said of software."""
    shown = overview(made_up(fpu_missing={}))

    assert "\n  8 000 cycles, 500 µs at the same clock; emulation takes 100 times as many\n" in shown
    assert "software" not in shown


def test_fpu_that_does_nothing() -> None:
    """Where the FPU does none of the operations, there is no figure that could be taken for one."""
    shown = details([made_up(fpu_cycles=None)])

    assert "\n  its FPU does none of these calls\n" in shown


def test_missed_deadline_says_which_clock_would_hold_it() -> None:
    """A missed deadline comes with the slowest clock that holds it, and whether parts reach it."""
    missed = {"deadline_share": 2.0, "holds_deadline": False, "deadline": 0.025}
    within = overview(made_up(**missed, slowest_clock_hz=32_010_000.0))
    beyond = overview(made_up(**missed, slowest_clock_hz=320e6, needs_faster_part=True))

    assert " of the deadline of 25.0 ms: missed; held from 32.1 MHz up\n" in within
    assert ": missed; held from 320 MHz up, beyond the 200 MHz of the fastest parts\n" in beyond


def test_a_clock_of_no_part_gets_a_line_above_the_total() -> None:
    """A clock outside the range of parts sold is said before the first number, with that range."""
    line = "the clock of 500 MHz is outside the range the table gives for parts sold, 1 to 200 MHz"
    shown = overview(made_up(clock_hz=500e6, is_clock_of_parts_sold=False))

    assert line == shown.splitlines()[1]
    assert "outside the range" not in overview(made_up())


def test_a_deadline_that_compiled_code_may_miss_is_not_just_held() -> None:
    """Where as many cycles as compiled code took at the most would miss the deadline, that is said."""
    model = cost_model("atmega")
    cpu = replace(model, compared_with_compiled_code=tuple(model.comparisons(elementary=False)))
    ratios = cpu.compiled_ratios(elementary=False)
    assert ratios is not None
    near = made_up(cpu=cpu, deadline_share=1 / ratios[1] + 0.01)
    far = made_up(cpu=cpu, deadline_share=1 / ratios[1] - 0.01)

    assert f": held, but not by {ratios[1]:.2f} times the estimate, which compiled code took" in overview(
        near
    )
    assert ": held\n" in overview(far)
    assert "yes ?" in summary_table([near])
    assert "\n? is held by the estimate, not by the most that compiled code took\n" in summary_table([near])


LOSSY = Noted(
    left={Departure(Line("somewhere/filter.py", 14), "float"): 512},
    born={Birth(Line("somewhere/filter.py", 12), "NaN", "division", ("0.0", "0.0")): 3},
)


def test_what_was_not_counted_stands_before_the_total() -> None:
    """What left the emulation, and NaNs born, are said before any number of cycles."""
    for shown in (overview(made_up(tally=LOSSY)), details([made_up(tally=LOSSY)])):
        before = shown.split("800 000 cycles")[0]

        assert "\nnot counted: 512 values left the emulation at filter.py:14 (float)\n" in before
        assert "\na NaN was first born at filter.py:12, division of 0.0 and 0.0 (3 times)\n" in before


def test_nothing_counted() -> None:
    """An empty tally has an estimate that can be printed."""
    empty = ("calls", "by_operation", "by_phase", "by_step", "by_line", "around", "fpu_missing")
    nothing = made_up(**{name: {} for name in empty}, cycles=0.0, seconds=0.0, fpu_cycles=0.0, options=())

    for shown in (overview(nothing), details([nothing])):
        assert "\n0 cycles, 0 s, 0.00 % of the deadline of 250 ms: held\n" in shown


def test_compared_range_covers_all_comparisons() -> None:
    """The ratio to compiled code ranges over all comparisons of the model."""
    estimate = made_up(cpu=compared_twice())

    assert "\n  compiled code took 0.75 to 3.00 times the estimate, where the" in details([estimate])
    assert "\n  compiled code took 0.75 to 3.00 times the estimate where measured\n" in overview(estimate)


def test_each_comparison_has_its_line_and_notes_come_once() -> None:
    """Below the range stand the comparisons, then what their notes say, equal notes once."""
    shown = details([made_up(cpu=compared_twice())])

    assert shown.split("were compared:\n")[1].startswith(
        "  2.00 to 3.00  the buoy's compiler, old version\n    addition\n"
        "  0.75 to 1.50  the buoy's compiler\n    square_root\n"
        "  made for this test\n"
        "\n"
    )


def test_small_shares_have_one_row_together() -> None:
    """Several entries of less than a thousandth are one row, so that the large ones stay in sight."""
    shown = details([made_up(by_step={"add": 799_000.0, "or": 400.0, "and": 300.0, "xor": 300.0})])

    assert "  add             799 000   100 %\n  3 smaller ones    1 000  0.12 %\n" in shown
