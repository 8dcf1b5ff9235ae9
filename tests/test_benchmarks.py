"""The benchmarks' helpers on tiny sizes; no time is judged, for that is what the benchmarks are for."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

import softfloat_py as sf
from benchmarks import __main__ as command_line
from benchmarks.arrays import FUSED, array_rows, wide_rows
from benchmarks.conversions import conversion_rows, rounded_to_int32
from benchmarks.elementary import CPU, FUNCTIONS, elementary_rows
from benchmarks.imports import import_rows
from benchmarks.loops import loop
from benchmarks.operands import BINADES, MEASURED, encodings, operands, taken
from benchmarks.peers import MpfrNumbers, MpmathNumbers, numpy_contestant
from benchmarks.pricing import pricing_rows, wave_height_tally
from benchmarks.report import json_text, text, three_digits
from benchmarks.row import Row, Target
from benchmarks.scalars import scalar_rows
from benchmarks.sizes import FULL, QUICK, Sizes
from benchmarks.texts import shortest, text_rows, with_forty_digits
from benchmarks.timing import Contestant, best_times
from softfloat_py import binary16, binary32, binary128, cost_models, fused_multiply_add

TINY = Sizes(
    elements=200,
    wide_elements=200,
    function_elements=200,
    numbers=20,
    texts=5,
    samples=4,
    settling=2,
    rounds=1,
    processes=1,
    imports=1,
)
BESIDE_GMPY2 = Row("array addition", "lean", "ns", 30.0, {"gmpy2": 120.0, "numpy": 2.0}, Target(0.5, "gmpy2"))
ALONE = Row("pricing", "", "ms", 7.5, target=Target(5))


def test_arrays_are_measured_beside_all_peers() -> None:
    """Each operation has a row for complete and for lean options, with the figures of three peers."""
    rows = list(array_rows(TINY, [binary16]))

    expected = [
        (f"array {operation} binary16", options)
        for operation in (*MEASURED, FUSED)
        for options in ("complete", "lean")
    ]
    assert expected == [(row.what, row.options) for row in rows]
    assert all({"gmpy2", "mpmath", "numpy"} == row.peers.keys() for row in rows if FUSED not in row.what)
    assert all({"gmpy2"} == row.peers.keys() for row in rows if FUSED in row.what)
    assert all(figure > 0 for row in rows for figure in (row.ours, *row.peers.values()))


def test_wide_arrays_are_measured_beside_gmpy2() -> None:
    """Operations on binary128 have two rows each, without a target."""
    rows = list(wide_rows(TINY))

    assert 2 * len((*MEASURED, FUSED)) == len(rows)
    assert {"array addition binary128", "array fused_multiply_add binary128"} < {row.what for row in rows}
    assert all({"gmpy2"} == row.peers.keys() and row.target is None for row in rows)


def test_conversions_are_measured_beside_gmpy2_and_numpy() -> None:
    """Two conversions of format and one to integers have two rows each."""
    rows = list(conversion_rows(TINY))

    assert [
        "array convert_format binary64 to binary32",
        "array convert_format binary32 to binary16",
        "array convert_to_integer binary32 to int32",
    ] == [row.what for row in rows[::2]]
    assert 6 == len(rows)
    assert all({"gmpy2", "numpy"} == row.peers.keys() for row in rows)


def test_texts_are_measured_beside_python_and_gmpy2() -> None:
    """Python's floats stand beside binary64, MPFR numbers beside binary128, both ways."""
    rows = list(text_rows(TINY))

    assert ["python", "python", "gmpy2", "gmpy2"] == [peer for row in rows for peer in row.peers]
    assert all(figure > 0 for row in rows for figure in (row.ours, *row.peers.values()))


def test_scalars_are_measured_beside_mpmath() -> None:
    """Each operation has two rows, and addition alone a target."""
    rows = list(scalar_rows(TINY))

    assert 2 * len(MEASURED) == len(rows)
    assert all({"mpmath"} == row.peers.keys() for row in rows)
    assert {"scalar addition binary32"} == {row.what for row in rows if row.target}


def test_elementary_functions_are_measured() -> None:
    """One has rows of arrays beside two peers, of numbers beside one, and of its first use beside none."""
    rows = list(elementary_rows(TINY, ["exp"]))

    assert [
        *(("array exp binary32", {"gmpy2", "numpy"}), ("array exp binary32", {"gmpy2", "numpy"})),
        *(("scalar exp binary32", {"gmpy2"}), ("scalar exp binary32", {"gmpy2"})),
        *(("reading exp binary32", set()), (f"pricing exp on {CPU}", set())),
    ] == [(row.what, set(row.peers)) for row in rows]
    assert all(figure > 0 for row in rows for figure in (row.ours, *row.peers.values()))


@pytest.mark.parametrize("function", FUNCTIONS)
def test_gmpy2_computes_functions_as_ours(function: str) -> None:
    """MPFR with the precision of binary32, rounding to nearest, delivers ours to the last bit."""
    values = taken(function, operands(binary32, 50))
    by_gmpy2 = MpfrNumbers(binary32, [array.tolist() for array in values]).in_lists(function).run()
    ours = getattr(sf, function)(*(binary32.array(array) for array in values))

    assert [float(each) for each in by_gmpy2] == [float(each) for each in ours]  # type: ignore[attr-defined]


def test_pricing_is_measured_the_first_time_and_again() -> None:
    """An interpreter of its own loads all cost tables and prices the tally twice, which gives three rows."""
    rows = list(pricing_rows(TINY))

    cpus = f"{len(cost_models())} CPUs"
    assert [
        f"cost tables of {cpus}, first time",
        f"pricing on {cpus}, first time",
        f"pricing on {cpus}, again",
    ] == [row.what for row in rows]
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

    mpfr_numbers = MpfrNumbers(binary32, [array.tolist() for array in values])
    mpmath_numbers = MpmathNumbers(binary32, values)
    for numbers in (mpfr_numbers.in_lists, mpfr_numbers.in_arrays, mpmath_numbers.in_lists):
        contestant = numbers(operation)
        assert 50 == contestant.operations
        assert in_numpy.tolist() == [float(number) for number in contestant.run()]  # type: ignore[attr-defined]


def test_gmpy2_converts_as_numpy() -> None:
    """Numbers made narrower, some to subnormal ones, and integers, ties to even, agree with numpy's."""
    _, values, _ = operands(binary32, 1000)
    values = np.concatenate([values, np.array([2.5, -3.5, 3e-5, -7e-8, 2**-20], np.float32)])
    numbers = [values.tolist()]
    halves = MpfrNumbers(binary32, numbers, binary16).in_lists("convert_format").run()
    integers = MpfrNumbers(binary32, numbers).in_arrays("convert_to_integer").run()

    assert values.astype(np.float16).tolist() == [float(half) for half in halves]  # type: ignore[attr-defined]
    assert np.asarray(rounded_to_int32(values)).tolist() == [int(i) for i in integers]  # type: ignore[attr-defined]


def test_gmpy2_fuses_as_ours() -> None:
    """Both compute x y + z of binary128 with one rounding."""
    bits = encodings(binary128, 50)
    numbers = MpfrNumbers(binary128, [[binary128.decode(each) for each in several] for several in bits])
    by_gmpy2 = numbers.in_lists(FUSED).run()
    ours = fused_multiply_add(*(binary128.array_from_bits(several) for several in bits))

    assert [Fraction(*number.as_integer_ratio()) for number in by_gmpy2] == [  # type: ignore[attr-defined]
        binary128.decode(number.bits) for number in ours
    ]


@pytest.mark.parametrize("contests", [shortest, with_forty_digits])
def test_texts_of_all_are_alike(
    contests: Callable[[int], Iterable[tuple[str, str, dict[str, Contestant]]]],
) -> None:
    """The first contest of a pair delivers the same texts, the second the same numbers."""
    (_, peer, to_text), (_, _, from_text) = contests(20)

    assert to_text["ours"].run() == to_text[peer].run()
    by_peer, ours = list(from_text[peer].run()), list(from_text["ours"].run())  # type: ignore[call-overload]
    assert [Fraction(*number.as_integer_ratio()) for number in by_peer] == [
        number.format.decode(number.bits) for number in ours
    ]


def test_operands_are_normal_numbers() -> None:
    """No operand is zero or subnormal, and the first, of which roots are taken, is positive."""
    smallest = np.finfo(np.float16).smallest_normal
    x, *others = operands(binary16, 100_000)

    assert x.min() >= smallest
    assert 2 == len(others)
    for y in others:
        assert np.abs(y).min() >= smallest
        assert y.min() < 0 < y.max()


def test_encodings_are_of_numbers_not_far_from_one() -> None:
    """They lie within a few binades, and the first, of which roots are taken, is positive."""
    x, *others = [[binary128.decode(bits) for bits in several] for several in encodings(binary128, 100)]

    assert all(2**-BINADES <= abs(value) < 2**BINADES for several in (x, *others) for value in several)
    assert min(x) > 0
    assert all(min(several) < 0 < max(several) for several in others)


def test_loops_use_the_numbers_own_operators() -> None:
    """A loop delivers one result an element; where there is no operator, by the function given."""
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
    sizes = ("elements", "wide_elements", "function_elements", "numbers", "texts", "samples")

    assert [getattr(FULL, size) for size in sizes] == [10 * getattr(QUICK, size) for size in sizes]


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
