"""What `estimate` prints: one CPU, several, all, in full, as JSON, at a clock and against a deadline."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from softfloat_py.pricing.table_reader import cost_model, cost_models
from softfloat_py.views.estimate_table import CAUTION
from tests.commands.running import printed_by


def test_estimate_without_cpu_has_a_line_for_each(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """By default, all cost models are compared, with one caution for all of them."""
    text = printed_by(capsys, "estimate", drift)

    assert text.startswith(
        f"{drift} in binary32: 6 calls (3 addition, 3 multiplication)\nkernel returned binary32(0.25)\n\n"
    )
    assert [
        name for name in cost_models() if re.search(rf"^{name} .* MHz", text, re.MULTILINE)
    ] == cost_models()
    assert 1 == text.count(CAUTION)


def test_estimate_of_one_cpu_is_a_screen(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A named CPU is one screen: at the clock and against the deadline given, with what is largest."""
    text = printed_by(
        capsys, "estimate", drift, "--cpu", "Cortex-M0+", "--clock", "8MHz", "--deadline", "250ms"
    )

    heading = "Arm Cortex-M0+, single-cycle multiplier (cortex-m0plus) at 8 MHz, code as GCC -O2 makes it"
    assert f"\n{heading}\n" in text
    assert "\narithmetic: lean: ties to even only, no flags\n" in text
    assert " % of the deadline of 250 ms: held\n" in text
    assert re.search(r"^  drift\.py:7 .*  velocity = velocity \+ interval \* sample$", text, re.MULTILINE)
    assert len(text.splitlines()) <= 45
    assert 1 == text.count(CAUTION)


def test_estimates_of_cpus_stand_side_by_side(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Several CPUs are columns of one table, by name; one asked for twice comes once."""
    names = ["--cpu", "cortex-m0plus", "--cpu", "atmega", "--cpu", "ATmega328P"]
    text = printed_by(capsys, "estimate", drift, *names)

    assert re.search(r"^cycles +calls +atmega +cortex-m0plus$", text, re.MULTILINE)
    assert re.search(r"^addition binary32 +3 +\d+ +\d+$", text, re.MULTILINE)
    assert 1 == text.count(CAUTION)


def test_estimates_are_of_the_compiler_that_is_named(
    drift: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A compiler that a table describes is priced in its place, in the text as in JSON and in the bounds; the
    estimate for a compiler says what code takes that a hand has scheduled.
    """
    path = str(tmp_path / "board.toml")
    Path(path).write_text('based_on = "z80"\n[compilers.hand-scheduled]\n', encoding="utf-8")
    asked = ["--cpu", path, "--compiler", "hand-scheduled"]
    compiled = json.loads(printed_by(capsys, "estimate", drift, "--cpu", path, "--json"))["estimates"][0]
    by_hand = json.loads(printed_by(capsys, "estimate", drift, *asked, "--json"))["estimates"][0]

    assert ("sdcc", "hand-scheduled") == (compiled["compiler"], by_hand["compiler"])
    assert by_hand["cycles"] == compiled["cycles_by_hand"] < compiled["cycles"]
    assert f"\n  scheduled by hand about {round(by_hand['cycles']):,} cycles\n".replace(
        ",", " "
    ) in printed_by(capsys, "estimate", drift, "--cpu", path)
    assert ", code as hand scheduling makes it\n" in printed_by(capsys, "estimate", drift, *asked)
    assert ", code as hand scheduling makes it\n" in printed_by(
        capsys, "bounds", *asked, "--operations", "negate"
    )


def test_without_cpu_all_that_describe_a_compiler_are_priced(
    drift: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A compiler that is named without a CPU stands for all CPUs whose tables describe its code."""
    text = printed_by(capsys, "estimate", drift, "--compiler", "sdcc")

    assert {name for name in cost_models() if "sdcc" in cost_model(name).described} == set(
        re.findall(r"^(\S+) +sdcc .* MHz", text, re.MULTILINE)
    )


@pytest.mark.parametrize("by", ["time", "cycles", "name"])
def test_estimates_are_sorted(by: str, drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """CPUs come in the order asked for, in the table as in JSON."""
    text = printed_by(capsys, "estimate", drift, "--sort", by)
    data = json.loads(printed_by(capsys, "estimate", drift, "--sort", by, "--json"))["estimates"]
    order = [each["cpu"] for each in data]

    assert order == re.findall(r"^([\w-]+) .* k?M?Hz ", text, re.MULTILINE)
    key = {"time": "seconds", "cycles": "cycles", "name": "cpu"}[by]
    assert sorted(each[key] for each in data) == [each[key] for each in data]


def test_deadline_marks_those_that_hold_it(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Against a deadline, each CPU holds it, or has the slowest clock that would."""
    text = printed_by(capsys, "estimate", drift, "--deadline", "20us", "--clock", "48")

    lines = text.split("\n\n")[1].splitlines()[1:]
    assert len(cost_models()) == len(lines)
    for line in lines:
        time, unit, held = re.findall(
            r"48 MHz +[\d ]+  ([\d. ]+) (µs|ms) +[\d.]+ %  +(yes|from [\d.]+ MHz)", line
        )[0]
        in_time = unit == "µs" and float(time) <= 20
        assert in_time == (held == "yes")
        assert in_time or float(held.split()[1]) > 48


@pytest.mark.parametrize("cpus", [[], ["--cpu", "atmega"], ["--cpu", "atmega", "--cpu", "z80"]])
def test_details_show_all(cpus: list[str], drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With --details, every CPU is shown in full, with one caution for all."""
    text = printed_by(capsys, "estimate", drift, "--details", *cpus)

    shown = [name for name in cpus if name != "--cpu"] or cost_models()
    assert shown == re.findall(r" \(([\w-]+)\) at [\d.]+ MHz, code as ", text, re.MULTILINE)
    for title in (
        "By operation",
        "By phase",
        "By step",
        "By source line",
        "With an FPU",
        "How far to trust it",
    ):
        assert len(shown) == text.count(f"\n{title}\n")
    assert 1 == text.count(CAUTION)


@pytest.mark.parametrize(
    ("clock", "hertz"),
    [
        ("16MHz", 16e6),
        ("16e6Hz", 16e6),
        ("16 mhz", 16e6),
        ("32.768kHz", 32_768.0),
        ("0.016GHz", 16e6),
        ("16", 16e6),
        ("11.0592", 11_059_200.0),
        ("16000000MHz", 16e12),
    ],
)
def test_clock_has_a_unit_or_is_in_megahertz(
    clock: str, hertz: float, drift: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A clock may carry its unit, which is then taken at its word; a bare number is in MHz."""
    text = printed_by(capsys, "estimate", drift, "--json", "--cpu", "atmega", "--clock", clock)

    assert hertz == pytest.approx(json.loads(text)["estimates"][0]["clock_hz"])


def test_estimate_as_json(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With --json, everything is there for other programs, the times in seconds."""
    text = printed_by(
        capsys,
        "estimate",
        drift,
        "--json",
        "--cpu",
        "cortex-m0plus",
        "--format",
        "binary16",
        "--deadline",
        "2min",
    )
    data = json.loads(text)
    (estimate,) = data["estimates"]

    assert (drift, "binary16", "lean", "binary16(0.25)") == tuple(
        data[key] for key in ("kernel", "format", "options", "returned")
    )
    assert {"operation": "addition", "format": "binary16", "calls": 3} in estimate["calls"]
    assert 120.0 == estimate["deadline_seconds"]
    assert estimate["cycles"] / 48e6 == pytest.approx(estimate["seconds"])
    assert estimate["cycles"] == pytest.approx(sum(entry["cycles"] for entry in estimate["by_line"]))
    assert CAUTION == estimate["caution"]


def test_operands_in_memory_are_loaded_and_stored(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With --in-memory an estimate has the loads and stores of operands and results, and says so."""
    plain = printed_by(capsys, "estimate", drift, "--cpu", "atmega")
    in_memory = printed_by(capsys, "estimate", drift, "--cpu", "atmega", "--in-memory", "--details")

    assert "operands and results in memory" not in plain
    assert "operands and results in memory" in in_memory
    assert "  addition: memory " in in_memory


def test_options_are_chosen(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The complete arithmetic costs more than the lean one."""
    cycles = {}
    for options in ("lean", "complete"):
        text = printed_by(capsys, "estimate", drift, "--json", "--cpu", "atmega", "--options", options)
        cycles[options] = json.loads(text)["estimates"][0]["cycles"]

    assert cycles["lean"] < cycles["complete"]


def test_own_cost_table(drift: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file ending in .toml is a cost model of one's own."""
    own = tmp_path / "own.toml"
    own.write_text('based_on = "cortex-m0plus"\ntitle = "A part of our own"\n', encoding="utf-8")

    assert "\nA part of our own (own) at 48 MHz, " in printed_by(capsys, "estimate", drift, "--cpu", str(own))


@pytest.mark.parametrize(
    ("name", "format_name"),
    [
        ("double", "binary64"),
        ("Float", "binary32"),
        ("SINGLE", "binary32"),
        ("half", "binary16"),
        ("BFloat16", "bfloat16"),
    ],
)
def test_formats_go_by_other_names(
    name: str, format_name: str, drift: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Formats are found by what C and the trade call them, in either case."""
    text = printed_by(capsys, "estimate", drift, "--cpu", "atmega", "--format", name)

    assert f" in {format_name}: " in text.splitlines()[0]
