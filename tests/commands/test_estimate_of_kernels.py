"""Kernels under `estimate`: their neighbours, what they print, and what they let leave."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from softfloat_py.__main__ import main
from softfloat_py.tally.tally import Birth, Departure, Line, Tally
from tests.commands.running import printed_by


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
