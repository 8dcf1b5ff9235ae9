"""What `measure` writes, and what it refuses."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.board.benches import filled_in, run
from tests.commands.running import printed_by


def test_measure_writes_a_program(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Four files come, and what they are compiled to prints the operations that were asked for."""
    folder = tmp_path / "bench"
    asked = (
        "--operations",
        "negate,square_root",
        "--format",
        "half",
        "--calls",
        "7",
        "--output",
        str(folder),
    )
    text = printed_by(capsys, "measure", *asked)

    names = ["binary16.h", "binary16.c", "measure.h", "measure.c"]
    assert [str(folder / name) for name in names] == text.splitlines()
    measured = filled_in(run(folder, "binary16", "-DCALLS=7u"))
    assert ["negate", "square_root"] == [
        line.split('"')[1] for line in measured.splitlines() if line.startswith("operation = ")
    ]
    assert 2 == measured.count("calls = 7\n")


def test_the_program_says_how_it_was_made(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The command that makes the same files again stands in them."""
    printed_by(capsys, "measure", "--operations", "addition", "--word", "8", "--output", str(tmp_path))
    said = " ".join((tmp_path / "measure.c").read_text().replace("\n *", " ").split())

    assert (
        "Made by: python -m softfloat_py measure --format binary32 --operations addition "
        "--options lean --word 8 --multiplier 8 --calls 50" in said
    )


@pytest.mark.parametrize("calls", ["0", "101"])
def test_measure_refuses_too_many_calls(calls: str, refusal: Callable[..., str]) -> None:
    """What a small board holds, and how many calls a file may be of, is limited."""
    assert f"calls must be from 1 to 100, not {calls}" == refusal("measure", "--calls", calls)


def test_measure_refuses_conversions(refusal: Callable[..., str]) -> None:
    """Conversions name another side, which a file of measurements has no place for."""
    assert refusal("measure", "--operations", "addition,convert_to_integer:int32") == (
        "what is measured must be operations that need no more than their name, not convert_to_integer"
    )


def test_measure_refuses_what_is_no_directory(tmp_path: Path, refusal: Callable[..., str]) -> None:
    """The output is a directory, made if it is not there."""
    (tmp_path / "file").write_text("")
    output = str(tmp_path / "file")

    assert refusal("measure", "--operations", "negate", "--output", output) == (
        f"output must be a directory to write to, not {output!r}: File exists"
    )
