"""The benchmarks' helpers on tiny sizes; no time is judged, for that is what the benchmarks are for."""

from __future__ import annotations

import json
import sys
from dataclasses import replace

import numpy as np
import pytest

from benchmarks import __main__ as command_line
from benchmarks.arrays import array_rows
from benchmarks.imports import import_rows
from benchmarks.loops import loop
from benchmarks.operands import MEASURED, operands
from benchmarks.peers import MpfrNumbers, MpmathNumbers, numpy_contestant
from benchmarks.pricing import pricing_rows, wave_height_tally
from benchmarks.report import json_text, text, three_digits
from benchmarks.row import Row, Target
from benchmarks.scalars import scalar_rows
from benchmarks.sizes import FULL, QUICK, Sizes
from benchmarks.timing import Contestant, best_times
from softfloat_py import binary16, binary32, cost_models

TINY = Sizes(elements=200, numbers=20, samples=4, settling=2, rounds=1, imports=1)
BESIDE_GMPY2 = Row("array addition", "lean", "ns", 30.0, {"gmpy2": 120.0, "numpy": 2.0}, Target(0.5, "gmpy2"))
ALONE = Row("pricing", "", "ms", 7.5, target=Target(5))


def test_arrays_are_measured_beside_all_peers() -> None:
    """Each operation has a row for complete and for lean options, with the figures of three peers."""
    rows = list(array_rows(TINY, [binary16]))

    expected = [
        (f"array {operation} binary16", options) for operation in MEASURED for options in ("complete", "lean")
    ]
    assert expected == [(row.what, row.options) for row in rows]
    assert all({"gmpy2", "mpmath", "numpy"} == row.peers.keys() for row in rows)
    assert all(figure > 0 for row in rows for figure in (row.ours, *row.peers.values()))


def test_scalars_are_measured_beside_mpmath() -> None:
    """Each operation has two rows, and addition alone a target."""
    rows = list(scalar_rows(TINY))

    assert 2 * len(MEASURED) == len(rows)
    assert all({"mpmath"} == row.peers.keys() for row in rows)
    assert {"scalar addition binary32"} == {row.what for row in rows if row.target}


def test_pricing_is_measured_the_first_time_and_again() -> None:
    """An interpreter of its own prices the tally on all CPUs, which gives two rows."""
    rows = list(pricing_rows(TINY))

    what = f"pricing on {len(cost_models())} CPUs"
    assert [f"{what}, first time", f"{what}, again"] == [row.what for row in rows]
    assert all(row.ours > 0 for row in rows)


def test_what_is_priced_is_a_wave_height() -> None:
    """The tally has the example's 21 operations for each sample that counts, and its root at the end."""
    calls = wave_height_tally(TINY).calls
    more = wave_height_tally(replace(TINY, samples=5)).calls

    assert 21 == sum(more.values()) - sum(calls.values())
    assert 1 == calls["square_root", "binary32"]


def test_imports_are_measured_beside_numpy() -> None:
    """The import's row holds two times, ours and numpy's."""
    (row,) = import_rows(TINY)

    assert {"numpy"} == row.peers.keys()
    assert row.ours > 0 < row.peers["numpy"]


@pytest.mark.parametrize("operation", MEASURED)
def test_peers_compute_the_same(operation: str) -> None:
    """Numbers of all peers, rounded to binary32's precision, agree with numpy's: all do the same work."""
    values = operands(binary32, 50)
    in_numpy = numpy_contestant(operation, values).run()
    assert isinstance(in_numpy, np.ndarray)

    mpfr_numbers, mpmath_numbers = MpfrNumbers(binary32, values), MpmathNumbers(binary32, values)
    for numbers in (mpfr_numbers.in_lists, mpfr_numbers.in_arrays, mpmath_numbers.in_lists):
        contestant = numbers(operation)
        assert 50 == contestant.operations
        assert in_numpy.tolist() == [float(number) for number in contestant.run()]  # type: ignore[attr-defined]


def test_operands_are_normal_numbers() -> None:
    """No operand is zero or subnormal, and the first, of which roots are taken, is positive."""
    smallest = np.finfo(np.float16).smallest_normal
    x, y = operands(binary16, 100_000)

    assert x.min() >= smallest
    assert np.abs(y).min() >= smallest
    assert y.min() < 0 < y.max()


def test_loops_use_the_numbers_own_operators() -> None:
    """A loop delivers one result an element; a root is taken by the function given for it."""
    assert [0.75, 2.5] == loop("division", abs)([1.5, 5.0], [2.0, 2.0])
    assert [2.0, 3.0] == loop("square_root", abs)([-2.0, 3.0])


def test_everyone_runs_once_a_round() -> None:
    """Contestants take turns, and the time of a run is shared among its operations."""
    turns: list[str] = []
    contestants = {name: Contestant(lambda name=name: turns.append(name)) for name in ("a", "b")}  # type: ignore[misc]
    times = best_times(contestants, rounds=2)

    assert ["a", "b", "a", "b"] == turns
    assert contestants.keys() == times.keys()
    assert all(0 < time < float("inf") for time in times.values())


def test_a_target_holds_for_a_ratio_or_for_a_figure() -> None:
    """With a peer the ratio is judged, without one the figure itself, and without a target nothing."""
    assert {"gmpy2": 0.25, "numpy": 15.0} == BESIDE_GMPY2.ratios
    assert BESIDE_GMPY2.met is True
    assert ALONE.met is False
    assert Row("import", "", "ms", 1.0).met is None


def test_the_table_has_a_line_for_each_row() -> None:
    """Figures, ratios, target and verdict stand in one line, and the targets are counted below."""
    lines = text([BESIDE_GMPY2, ALONE], TINY).splitlines()

    assert "array addition lean 30.0 120 2.00 ns 0.25 15.0 ≤ 0.5 × gmpy2 met" == " ".join(lines[-4].split())
    assert "pricing 7.50 ms ≤ 5 ms missed" == " ".join(lines[-3].split())
    assert "1 of 2 targets met" == lines[-1]


def test_json_has_what_the_table_has() -> None:
    """A row in JSON holds the figures undisguised, with its target and verdict."""
    beside_gmpy2, alone = json.loads(json_text([BESIDE_GMPY2, ALONE], TINY))["rows"]

    assert 0.25 == beside_gmpy2["ratios"]["gmpy2"]
    assert {"limit": 0.5, "peer": "gmpy2"} == beside_gmpy2["target"]
    assert (7.5, "ms", False) == (alone["ours"], alone["unit"], alone["met"])


@pytest.mark.parametrize(
    ("figure", "written"), [(0.034, "0.03"), (9.996, "10.0"), (99.96, "100"), (1234.5, "1234")]
)
def test_figures_have_about_three_digits(figure: float, written: str) -> None:
    """Decimals are dropped as figures grow."""
    assert written == three_digits(figure)


def test_quick_is_a_tenth() -> None:
    """The quick sizes are a tenth of the full ones."""
    assert (FULL.elements, FULL.numbers, FULL.samples) == tuple(
        10 * size for size in (QUICK.elements, QUICK.numbers, QUICK.samples)
    )


@pytest.mark.parametrize(("option", "beginning"), [("--quick", "Python 3"), ("--json", "{")])
def test_the_command_prints_what_was_measured(
    option: str, beginning: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The report goes to standard output, as a table or as JSON."""
    monkeypatch.setattr(command_line, "measured", lambda sizes: [BESIDE_GMPY2])

    assert 0 == command_line.main([option])
    printed = capsys.readouterr().out
    assert printed.startswith(beginning)
    assert "array addition" in printed


def test_a_missing_peer_is_named(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a peer nothing is measured, and one sentence says what to install."""
    monkeypatch.setattr(command_line, "find_spec", lambda name: None if name == "gmpy2" else sys)

    assert 2 == command_line.main([])
    assert (
        "the benchmarks compare with gmpy2 and mpmath, which must be installed, but gmpy2 cannot be found; "
        "install the test extra: pip install -e '.[test]'\n"
    ) == capsys.readouterr().err
