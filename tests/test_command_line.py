"""The command line: what each command prints, its exit status, and one sentence for whatever is wrong."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from softfloat_py.__main__ import main
from softfloat_py.operations import OPERATIONS
from softfloat_py.pricing.table_reader import cost_model, cost_models
from softfloat_py.studies import comparing
from softfloat_py.tally.tally import Birth, Departure, Line, Tally
from softfloat_py.views.bounds_table import CAUTION as BOUNDS_CAUTION
from softfloat_py.views.estimate_table import CAUTION

DRIFT = """
import numpy as np

def kernel(acceleration, interval, settling):
    velocity = 0.0
    for sample in acceleration[settling:]:
        velocity = velocity + interval * sample
    return velocity

def inputs():
    return np.array([9.0, 0.5, -0.25, 0.75]), 0.25, 1
"""


@pytest.fixture
def drift(tmp_path: Path) -> str:
    """A kernel file: three accelerations of a buoy, integrated to a velocity of 0.25 m/s."""
    path = tmp_path / "drift.py"
    path.write_text(DRIFT, encoding="utf-8")
    return str(path)


@pytest.fixture
def refusal(capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """Run a command that must be refused; gives its one sentence, without the line end."""

    def run(*arguments: str) -> str:
        assert 2 == main(arguments)
        printed = capsys.readouterr()
        assert "" == printed.out
        return printed.err.removesuffix("\n")

    return run


def printed_by(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> str:
    """What a command prints on standard output; nothing must come on standard error."""
    assert status == main(arguments)
    printed = capsys.readouterr()
    assert "" == printed.err
    return printed.out


# -- estimate ------------------------------------------------------------------------------------------


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

    assert "\nArm Cortex-M0+, single-cycle multiplier (cortex-m0plus) at 8 MHz\n" in text
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

    for line in text.split("\n\n")[1].splitlines()[1:]:
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
    assert shown == re.findall(r" \(([\w-]+)\) at [\d.]+ MHz$", text, re.MULTILINE)
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

    assert "\nA part of our own (own) at 48 MHz\n" in printed_by(capsys, "estimate", drift, "--cpu", str(own))


def test_kernel_may_import_its_neighbours(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Files beside a kernel file can be imported; its main does not run, and dataclasses work in it."""
    (tmp_path / "sensor_gain.py").write_text("GAIN = 2.0\n", encoding="utf-8")
    (tmp_path / "scaled.py").write_text(
        "from __future__ import annotations\n"
        "from dataclasses import dataclass\n"
        "from sensor_gain import GAIN\n\n"
        "@dataclass\nclass Reading:\n    value: float\n\n"
        "def kernel(x):\n    return Reading(GAIN * x).value\n\n"
        "def inputs():\n    return (1.5,)\n\n"
        "if __name__ == '__main__':\n    raise SystemExit(3)\n",
        encoding="utf-8",
    )

    assert "\nkernel returned binary32(3.0)\n" in printed_by(capsys, "estimate", str(tmp_path / "scaled.py"))


PRINTING = """
import numpy as np

print("loading")

def kernel(heights):
    print("computing")
    return heights * heights

def inputs():
    print("reading")
    return (np.arange(100.0),)
"""


def test_printing_kernel_does_not_spoil_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What a kernel file prints stands above the report, and beside the JSON, on standard error."""
    path = tmp_path / "printing.py"
    path.write_text(PRINTING, encoding="utf-8")
    said = "loading\nreading\ncomputing\n"

    assert printed_by(capsys, "estimate", str(path), "--cpu", "atmega").startswith(said)
    assert 0 == main(["estimate", str(path), "--cpu", "atmega", "--json"])
    printed = capsys.readouterr()
    assert said == printed.err
    assert (
        "binary32.array([0.0, 1.0, 4.0, 9.0, 16.0, 25.0, ...]), shape (100,)"
        == json.loads(printed.out)["returned"]
    )


LINE = Line("somewhere/filter.py", 14)
LEFT = {Departure(LINE, "float"): 512}
BORN = {Birth(LINE, "NaN", "division", ("0.0", "0.0")): 3}


@pytest.fixture
def lossy(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tallies that noted 512 values that left the emulation, and a NaN."""
    monkeypatch.setattr(Tally, "left", LEFT, raising=False)
    monkeypatch.setattr(Tally, "born", BORN, raising=False)


VIEWS: list[list[str]] = [
    [],
    ["--cpu", "atmega"],
    ["--cpu", "atmega", "--details"],
    ["--cpu", "atmega", "--cpu", "z80"],
]


@pytest.mark.usefixtures("lossy")
@pytest.mark.parametrize("view", VIEWS)
def test_every_view_says_what_left(view: list[str], drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What left the emulation, and NaNs born, are said before any total; that alone is no error."""
    text = printed_by(capsys, "estimate", drift, *view)

    before = re.split(r" cycles, |^CPU |^cycles ", text, maxsplit=1, flags=re.MULTILINE)[0]
    assert "\nnot counted: 512 values left the emulation at filter.py:14 (float)\n" in before
    assert "\na NaN was first born at filter.py:14, division of 0.0 and 0.0 (3 times)\n" in before


@pytest.mark.usefixtures("lossy")
@pytest.mark.parametrize("view", [*VIEWS, ["--json"]])
def test_strict_makes_it_an_error(view: list[str], drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With --strict, all is printed as ever, then one sentence and the status 2."""
    assert 2 == main(["estimate", drift, "--strict", *view])
    printed = capsys.readouterr()

    assert printed.err == (
        "with --strict, no value may leave the emulation, but 512 values did, at filter.py:14 (float)\n"
    )
    assert printed_by(capsys, "estimate", drift, *view) == printed.out


def test_strict_is_content_where_nothing_left(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A kernel that stays in the emulation has the status 0 with --strict."""
    assert "not counted" not in printed_by(capsys, "estimate", drift, "--strict")


@pytest.mark.usefixtures("lossy")
def test_notes_are_in_json(drift: str, capsys: pytest.CaptureFixture[str]) -> None:
    """In JSON, what left and what was born are lists of records."""
    data = json.loads(printed_by(capsys, "estimate", drift, "--json", "--cpu", "atmega"))

    assert data["left_emulation"] == [{"file": LINE.file, "line": 14, "how": "float", "values": 512}]
    assert data["born"] == [{
        "file": LINE.file, "line": 14, "kind": "NaN",
        "operation": "division", "operands": ["0.0", "0.0"], "times": 3,
    }]  # fmt: skip


def test_unknown_cpu(drift: str, refusal: Callable[..., str]) -> None:
    """An unknown CPU is refused with what is near, and with how to see all."""
    required = "a cost model must be the name of one, or of a core or chip that one is for"
    all_of_them = "python -m softfloat_py cpus lists all"

    assert f"{required}, not 'atmegga'; did you mean 'atmega'? {all_of_them}" == refusal(
        "estimate", drift, "--cpu", "atmegga"
    )
    assert f"{required}, not 'esp32'; {all_of_them}" == refusal("estimate", drift, "--cpu", "esp32")


def test_unknown_format_and_options(drift: str, refusal: Callable[..., str]) -> None:
    """An unknown format, order or set of options is refused with those that are known and the nearest one."""
    assert refusal("estimate", drift, "--format", "binary23") == (
        "the format must be one of binary16, binary32, binary64, binary128, bfloat16, extended80, "
        "ofp8_e4m3, ofp8_e5m2, half, float16, single, float, float32, double, float64, quadruple, "
        "not 'binary23'; did you mean 'binary32'?"
    )
    assert refusal("estimate", drift, "--sort", "speed") == (
        "the order must be one of name, cycles, time, not 'speed'"
    )
    assert refusal("estimate", drift, "--options", "leen") == (
        "the options must be one of complete, lean, not 'leen'; did you mean 'lean'?"
    )


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


def test_broken_cost_table(drift: str, tmp_path: Path, refusal: Callable[..., str]) -> None:
    """A cost table with faults is refused with its faults."""
    broken = tmp_path / "broken.toml"
    broken.write_text('based_on = "cortex-m0plus"\ntitel = "x"\n', encoding="utf-8")

    assert refusal("estimate", drift, "--cpu", str(broken)) == (
        f"cost table {broken} has 1 fault:\n  titel is not a key that belongs here; did you mean 'title'?"
    )


MISSHAPEN = {
    "no kernel": (
        "def inputs():\n    return ()\n",
        "{path} must define the functions kernel(...) and inputs(), but has no kernel; "
        "inputs() returns the tuple of arguments that kernel is called with",
    ),
    "no inputs": (
        "def kernel():\n    return 0\n",
        "{path} must define the functions kernel(...) and inputs(), but has no inputs; "
        "inputs() returns the tuple of arguments that kernel is called with",
    ),
    "inputs are no tuple": (
        "def kernel(x):\n    return x\n\ndef inputs():\n    return 1.5\n",
        "inputs() of {path} must return a tuple of the kernel's arguments, not float; "
        "a single one is written (value,)",
    ),
    "kernel raises": (
        "def kernel(x):\n    return 1 // x\n\ndef inputs():\n    return (0,)\n",
        "kernel must run to its end, but at {path}, line 2, it raised "
        "ZeroDivisionError: integer division or modulo by zero",
    ),
    "inputs raise": (
        "def kernel(x):\n    return x\n\ndef inputs():\n    return open('no such file')\n",
        "inputs() must run to its end, but at {path}, line 5, it raised "
        "FileNotFoundError: [Errno 2] No such file or directory: 'no such file'",
    ),
    "wrong arguments": (
        "def kernel(x):\n    return x\n\ndef inputs():\n    return (1.0, 2.0)\n",
        "kernel must run to its end, but at {path}, it raised "
        "TypeError: kernel() takes 1 positional argument but 2 were given",
    ),
    "nothing emulated": (
        "def kernel(n):\n    return sum(n)\n\ndef inputs():\n    return ([1, 2],)\n",
        "kernel of {path} must compute with emulated numbers, but inputs() gave ints alone and nothing made "
        "a number of them; arithmetic of ints is the program's own, which nothing counts",
    ),
    "no Python": (
        "def kernel(:\n",
        "the file must run to its end, but at {path}, line 1, it raised "
        "SyntaxError: invalid syntax (wave.py, line 1)",
    ),
    "not emulated": (
        "import numpy as np\n\ndef kernel(x):\n    return np.sin(x)\n\n"
        "def inputs():\n    return (np.ones(2),)\n",
        "kernel must run to its end, but at {path}, line 4, it raised NotEmulatedError: ",
    ),
}


@pytest.mark.parametrize("name", MISSHAPEN)
def test_misshapen_kernel_file(name: str, tmp_path: Path, refusal: Callable[..., str]) -> None:
    """A file that cannot be run as a kernel is refused with what is wrong and where."""
    text, message = MISSHAPEN[name]
    path = tmp_path / "wave.py"
    path.write_text(text, encoding="utf-8")
    expected = message.format(path=path)
    said = refusal("estimate", str(path))

    assert said.startswith(expected) if expected.endswith(": ") else said == expected


def test_line_at_fault_of_a_relative_path(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refusal: Callable[..., str]
) -> None:
    """The line at fault is named too where the file is given beside the current folder."""
    monkeypatch.chdir(tmp_path)
    for name in ("kernel raises", "no Python"):
        text, message = MISSHAPEN[name]
        Path("wave.py").write_text(text, encoding="utf-8")

        assert message.format(path="wave.py") == refusal("estimate", "./wave.py")


def test_missing_kernel_file(refusal: Callable[..., str]) -> None:
    """A file that is not there is refused."""
    assert (
        refusal("estimate", "nowhere.py")
        == "a kernel file must be a Python file that exists, not 'nowhere.py'"
    )


CLOCK = "a clock from 1 Hz up, such as 16MHz, 32.768kHz or 16 (MHz)"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["--deadline", "3 weeks"],
            "argument --deadline: must be a time above 0, such as 250ms, 0.25s, 20min or 1200 (seconds), "
            "not '3 weeks'",
        ),
        (
            ["--deadline", "-3"],
            "argument --deadline: must be a time above 0, such as 250ms, 0.25s, 20min or 1200 (seconds), "
            "not '-3'",
        ),
        (
            ["--deadline", "0ms"],
            "argument --deadline: must be a time above 0, such as 250ms, 0.25s, 20min or 1200 (seconds), "
            "not '0ms'",
        ),
        (["--clock", "-8"], f"argument --clock: must be {CLOCK}, not '-8'"),
        (["--clock", "inf"], f"argument --clock: must be {CLOCK}, not 'inf'"),
        (["--clock", "abc"], f"argument --clock: must be {CLOCK}, not 'abc'"),
        (["--clock", "16 Mhertz"], f"argument --clock: must be {CLOCK}, not '16 Mhertz'"),
        (["--clock", "0"], f"argument --clock: must be {CLOCK}, not '0'"),
        (["--clock", "1e-320"], f"argument --clock: must be {CLOCK}, not '1e-320'"),
        (["--clock", "1e400GHz"], f"argument --clock: must be {CLOCK}, not '1e400GHz'"),
        (
            ["--clock", "16000000"],
            "argument --clock: must be a clock in MHz, or one with its unit, not '16000000'; "
            "did you mean 16MHz or 16000000MHz?",
        ),
        (["--clock", "8", "--clock", "16"], "argument --clock: must be given once, not twice"),
        (
            ["--format", "half", "--cpu", "z80", "--format", "half"],
            "argument --format: must be given once, not twice",
        ),
        (["--clok", "8"], "unrecognized arguments: --clok 8"),
    ],
)
def test_misshapen_arguments(
    arguments: list[str], message: str, drift: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Arguments that cannot be read are refused in one sentence that points to the help."""
    with pytest.raises(SystemExit) as caught:
        main(["estimate", drift, *arguments])

    assert 2 == caught.value.code
    assert re.fullmatch(
        re.escape(message) + r"; see python -m softfloat_py( estimate)? --help\n", capsys.readouterr().err
    )


# -- bounds --------------------------------------------------------------------------------------------


def test_bounds_have_a_line_for_each_operation(capsys: pytest.CaptureFixture[str]) -> None:
    """Each CPU has its table, each operation its line of best, typical and worst; one caution is for all."""
    names = "addition,convert_to_integer:uint16"
    text = printed_by(
        capsys, "bounds", "--cpu", "atmega", "--cpu", "mc68000", "--format", "binary16", "--operations", names
    )

    for operation in ("addition binary16", "convert_to_integer binary16 to uint16"):
        lines = re.findall(rf"^{operation}  +(\d[\d ]*)$", text, re.MULTILINE)
        assert 2 == len(lines)
        for line in lines:
            best, typical, worst = (int(cell.replace(" ", "")) for cell in re.split("  +", line))
            assert 0 < best < typical < worst
    assert 1 == text.count(BOUNDS_CAUTION)


def test_bounds_are_of_all_operations_by_default(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a choice, all operations are bounded that need no more than their name."""
    text = printed_by(capsys, "bounds", "--cpu", "cortex-m0plus", "--format", "binary16")

    unnamed = [name for name, row in OPERATIONS.items() if not row.parameters]
    assert unnamed == re.findall(r"^(\w+) binary16 ", text, re.MULTILINE)


def test_bounds_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """As JSON, there is a record for each CPU and operation, and the caution."""
    data = json.loads(
        printed_by(capsys, "bounds", "--cpu", "atmega", "--operations", "addition,division", "--json")
    )

    assert [("atmega", "addition"), ("atmega", "division")] == [
        (record["cpu"], record["operation"]) for record in data["bounds"]
    ]
    assert BOUNDS_CAUTION == data["caution"]


def test_bounds_refuse_what_there_is_not(refusal: Callable[..., str]) -> None:
    """An unknown CPU, format, operation or set of options is one sentence with a suggestion."""
    assert "did you mean 'atmega'" in refusal("bounds", "--cpu", "atmegga")
    assert "did you mean 'binary32'" in refusal("bounds", "--cpu", "atmega", "--format", "binary31")
    assert "did you mean 'division'" in refusal("bounds", "--cpu", "atmega", "--operations", "divison")
    assert "did you mean 'lean'" in refusal("bounds", "--cpu", "atmega", "--options", "leen")


# -- cpus ----------------------------------------------------------------------------------------------


def test_cpus_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """The list has a line for each model: its name, abilities, clock, how much is known, and its title."""
    headings, *lines = printed_by(capsys, "cpus").split("\n\n")[0].splitlines()

    assert ["name", "word", "product", "carry", "shifts", "zeros", "MHz", "known", "CPU"] == headings.split()
    assert cost_models() == [line.split()[0] for line in lines]
    assert all(line.endswith(cost_model(line.split()[0]).title) for line in lines)
    # Arm DDI0484C, Cortex-M0+ Technical Reference Manual: 32-bit words, exact products of halves, carry and
    # barrel shifter, no leading-zero count.
    assert any(re.match(r"cortex-m0plus +32 +16 +yes +yes +- +16 to 133 +\d+ %  Arm", line) for line in lines)


def test_one_cpu_shows_every_figure(capsys: pytest.CaptureFixture[str]) -> None:
    """One model is shown with each figure, its standing and the number of its source."""
    text = printed_by(capsys, "cpus", "cortex-m0plus")

    # Arm DDI0484C, Cortex-M0+ Technical Reference Manual, Table 3.1: a branch that is taken, 2 cycles.
    assert re.search(r"^  branch taken +2 +\[2\]  published$", text, re.MULTILINE)
    assert "\n32-bit words, 16-bit multiplier, carry flag, barrel shifter, no leading-zero count, " in text
    assert re.search(
        r"^figures: \d+ published, \d+ measured, \d+ unverified \(recalled, no document read\)$",
        text,
        re.MULTILINE,
    )
    assert "\n  [2] Cortex-M0+ Technical Reference Manual, Arm DDI0484C, Table 3.1\n" in text
    range_ = r"\d\.\d\d to \d\.\d\d"
    compared = rf"^  {range_}, single calls {range_}  arm-none-eabi-gcc 12\.2, -O2\n    emitted C: "
    assert re.search(compared, text, re.MULTILINE)


def test_figures_that_few_cpus_have_are_shown(capsys: pytest.CaptureFixture[str]) -> None:
    """A Z80's instructions take operands in memory; RISC-V loads the upper bits of a constant at once."""
    memory = r"^  word in memory beyond a register +15 +\[2\]  unverified  LD A,\(IX\+d\), SUB \(IX\+d\)"

    assert re.search(memory, printed_by(capsys, "cpus", "z80"), re.MULTILINE)
    assert "constants of 11 bits in the instruction, of the upper 20 in one of their own\n" in printed_by(
        capsys, "cpus", "rv32ic-ibex"
    )


def test_one_cpu_shows_what_it_is_for(capsys: pytest.CaptureFixture[str]) -> None:
    """One model, found by the name of a chip, lists the cores, chips and boards that it is for."""
    text = printed_by(capsys, "cpus", "rp2040")

    assert text.startswith("cortex-m0plus: ")
    assert re.search(r"^for: .*RP2040\*, Raspberry Pi Pico, ", text, re.MULTILINE)


@pytest.mark.parametrize("name", cost_models())
def test_no_figure_reads_like_an_access_to_memory(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What was recalled is called unverified; 'from memory' is what an FPU's load does."""
    text = printed_by(capsys, "cpus", name).replace("from memory or a data register", "")

    assert "from memory" not in text


# -- explain -------------------------------------------------------------------------------------------

SAME_SUM = [
    ["6.25", "+", "-0.1"],
    ["addition", "6.25", "-0.1"],
    ["6.25", "addition", "-0.1"],
    ["+", "0x40c80000", "0xbdcccccd"],
    ["6.25", "+", "-1e-1", "--format", "binary32"],
]


@pytest.mark.parametrize("words", SAME_SUM)
def test_explain_takes_signs_names_and_encodings(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """An operation may stand between its operands or before them; operands are numbers or encodings."""
    text = printed_by(capsys, "explain", *words)

    assert text.startswith("addition of 6.25 and -0.1 in binary32\n")
    assert re.search(
        r"^  result  0x40c4cccd  0 +10000001  10001001100110011001101  6\.15", text, re.MULTILINE
    )


@pytest.mark.parametrize("symbol", [row.symbol for row in OPERATIONS.values() if row.symbol])
def test_explain_takes_every_sign(symbol: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each sign in the table of operations can be used."""
    words = [symbol, "2.0"] if symbol == "sqrt" else ["2.0", symbol, "-1.0"]

    assert "\nResult\n" in printed_by(capsys, "explain", *words)


@pytest.mark.parametrize(
    ("words", "title"),
    [
        ("sqrt 2.0", "square_root of 2.0 in binary32"),
        ("-inf - inf --format bfloat16", "subtraction of -infinity and infinity in bfloat16"),
        ("-0 / nan", "division of -0.0 and quiet NaN in binary32"),
        ("convert_format 0.1 --target binary16", "convert_format of 0.1 from binary32 to binary16"),
        ("convert_to_integer -2.5 --width 8", "convert_to_integer of -2.5 from binary32 to int8"),
        ("convert_from_integer -100 --width 8", "convert_from_integer of -100 from int8 to binary32"),
    ],
)
def test_explain_titles(words: str, title: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Conversions, special operands and negative numbers are read as they are written."""
    assert title == printed_by(capsys, "explain", *words.split()).splitlines()[0]


def test_explain_with_direction_and_options(capsys: pytest.CaptureFixture[str]) -> None:
    """Rounding direction and options are those asked for."""
    text = printed_by(capsys, "explain", "1", "/", "3", "--rounding", "toward_zero")
    assert "\nrounding: toward zero\n" in text

    text = printed_by(capsys, "explain", "1", "/", "3", "--options", "lean")
    assert "\narithmetic: lean: ties to even only, no flags\n" in text


def test_explain_refusals(refusal: Callable[..., str]) -> None:
    """What cannot be explained is refused in one sentence; a number that is none, at its character."""
    for words in (
        ["6.25", "+", "much"],
        ["much", "+", "6.25"],
        ["much", "addition", "6.25"],
        ["sqrt", "much"],
    ):
        assert refusal("explain", *words) == (
            "the text of a number needs a sign, a digit, a point, inf or nan at the caret, not 'm':\n"
            "  much\n"
            "  ^"
        )
    assert refusal("explain", "6.25", "+", "0x1ffffffff") == (
        "an encoding of binary32 must lie between 0 and 0xffffffff (32 bits), not 0x1ffffffff"
    )
    for words in (["adition", "1", "2"], ["1", "adition", "2"]):
        assert refusal("explain", *words).endswith(", not 'adition'; did you mean 'addition'?")
    assert refusal("explain", "compare", "1", "2") == (
        "an operation must be named as IEEE 754-2019 names it, in snake case, not 'compare'; "
        "there are compare_… (22); python -m softfloat_py explain --help lists all"
    )
    assert refusal("explain", "add", "1", "2") == (
        "an operation must be named as IEEE 754-2019 names it, in snake case, not 'add'; "
        "did you mean 'addition', 'fused_multiply_add' or 'augmented_addition'?"
    )
    families = refusal("explain", "plus", "1", "2")
    assert "; there are addition, subtraction, " in families
    assert ", compare_… (22), " in families
    assert len(families) < 500
    assert refusal("explain", "addition", "1") == "addition takes 2 operands, not 1"
    assert refusal("explain", "1", "+", "2", "--rounding", "toward_zerro") == (
        "the rounding must be one of ties_to_even, ties_to_away, toward_positive, toward_negative, "
        "toward_zero, not 'toward_zerro'; did you mean 'toward_zero'?"
    )
    assert refusal("explain", "1", "+", "2", "--rounding", "toward_zero", "--options", "lean") == (
        "options 'lean' round ties to even only, not TOWARD_ZERO; use options with all_directions=True"
    )


# -- compare-with-host ---------------------------------------------------------------------------------


def test_compare_with_host(capsys: pytest.CaptureFixture[str]) -> None:
    """The operations asked for are compared; status 0 says that nothing differs."""
    text = printed_by(
        capsys,
        "compare-with-host",
        "--format",
        "binary16",
        "--operations",
        "addition,division",
        "--samples",
        "50",
    )

    assert "addition       950            0\ndivision       950            0\n" in text


def test_compare_with_host_that_differs(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 1 says that something differs."""
    monkeypatch.setattr(comparing, "host_results", lambda operation, fmt, operands: operands[1])
    text = printed_by(capsys, "compare-with-host", "--operations", "addition", "--samples", "0", status=1)

    assert "addition: first 5 differences\n" in text


@pytest.mark.parametrize("value", ["abc", "-3", "2.5"])
@pytest.mark.parametrize("option", ["--samples", "--seed"])
def test_compare_refuses_impossible_samples(
    option: str, value: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Samples and seed are whole numbers, refused in one sentence if they are not."""
    with pytest.raises(SystemExit) as caught:
        main(["compare-with-host", option, value])

    assert 2 == caught.value.code
    assert capsys.readouterr().err == (
        f"argument {option}: must be a whole number, 0 or more, not {value!r}; "
        "see python -m softfloat_py compare-with-host --help\n"
    )


def test_compare_without_host(refusal: Callable[..., str]) -> None:
    """A format that the host lacks is refused."""
    assert refusal("compare-with-host", "--format", "bfloat16") == (
        "a comparison with the host needs one of its formats, binary16, binary32, binary64, not bfloat16"
    )


# -- as a program --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "command", [[], ["estimate"], ["bounds"], ["cpus"], ["explain"], ["compare-with-host"]]
)
def test_help_is_printed(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Every command explains itself, with an example."""
    with pytest.raises(SystemExit) as caught:
        main([*command, "--help"])

    assert 0 == caught.value.code
    text = capsys.readouterr().out
    assert all(len(line) <= 110 for line in text.splitlines())
    assert f"python -m softfloat_py {command[0]} " in text if command else "estimate" in text


def test_runs_as_a_module() -> None:
    """The status of the process is that of the command, and standard error has the sentence alone."""
    run = subprocess.run(
        [sys.executable, "-m", "softfloat_py", "explain", "addition", "1"],
        capture_output=True,
        text=True,
        check=False,
    )

    assert (2, "", "addition takes 2 operands, not 1\n") == (run.returncode, run.stdout, run.stderr)


COMMANDS = [["cpus"], ["--help"], ["explain", "--help"], ["explain", "1", "+", "2"], ["cpus", "no such"]]


@pytest.mark.parametrize("command", COMMANDS)
def test_reader_that_stops_is_no_error(command: list[str]) -> None:
    """Output that nobody reads to its end, as with a pager, ends quietly, on whichever stream it is."""
    reading, writing = os.pipe()
    os.close(reading)
    both = subprocess.STDOUT if command == ["cpus", "no such"] else subprocess.PIPE
    run = subprocess.run(
        [sys.executable, "-m", "softfloat_py", *command], stdout=writing, stderr=both, check=False
    )
    os.close(writing)

    assert not run.stderr
    assert 0 == run.returncode
