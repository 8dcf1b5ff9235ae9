"""The commands as a program: help, exit status, and whatever its output is sent to."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from softfloat_py.__main__ import main
from softfloat_py.commands.table import COMMANDS


@pytest.mark.parametrize("command", [[], *([command.name] for command in COMMANDS)])
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


PRINTING = [["cpus"], ["--help"], ["explain", "--help"], ["explain", "1", "+", "2"], ["cpus", "no such"]]


@pytest.mark.parametrize("command", PRINTING)
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


def estimated(text: str, folder: Path, output: int) -> subprocess.CompletedProcess[str]:
    """A process that estimates a kernel file of this text, its standard output going there."""
    (folder / "sea.py").write_text(text + "\ndef inputs():\n    return (1.5,)\n")
    return subprocess.run(
        [sys.executable, "-m", "softfloat_py", "estimate", "sea.py", "--cpu", "RP2040"],
        cwd=folder, stdout=output, stderr=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip


def test_reader_that_stops_while_a_kernel_prints_is_no_error(tmp_path: Path) -> None:
    """A kernel whose own output nobody reads ends quietly too."""
    reading, writing = os.pipe()
    os.close(reading)
    run = estimated("def kernel(x):\n    print('calm sea ' * 10_000)\n    return x * x\n", tmp_path, writing)
    os.close(writing)

    assert (0, "") == (run.returncode, run.stderr)


def test_pipe_of_a_kernels_own_that_nobody_reads_is_an_error(tmp_path: Path) -> None:
    """A kernel that fails on another pipe is refused, as with any error that it raises."""
    kernel = """
import os

def kernel(x):
    reading, writing = os.pipe()
    os.close(reading)
    os.write(writing, b"calm sea")
    return x * x
"""
    run = estimated(kernel, tmp_path, subprocess.PIPE)

    complaint = "kernel must run to its end, but at sea.py, line 7, it raised BrokenPipeError: "
    assert (2, complaint) == (run.returncode, run.stderr[: len(complaint)])


def test_unknown_command_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """A command that there is not is refused with the list, and with the one that is nearest."""
    sentence = (
        "the command must be one of estimate, bounds, cpus, explain, compare-with-host, c, measure, guide, "
        "not 'estimat'; did you mean 'estimate'?\n"
    )

    assert 2 == main(["estimat", "sea.py"])
    assert ("", sentence) == capsys.readouterr()


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no device that is always full")
@pytest.mark.parametrize("command", [["cpus"], ["--help"], ["explain", "--help"], ["explain", "1", "+", "2"]])
def test_full_disk_is_one_sentence(command: list[str]) -> None:
    """Where standard output takes no more, a sentence says why, with the status of an error."""
    with open("/dev/full", "w") as full:
        run = subprocess.run(
            [sys.executable, "-m", "softfloat_py", *command],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip

    sentence = "standard output must take all that is printed, but: No space left on device\n"
    assert (2, sentence) == (run.returncode, run.stderr)


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no device that is always full")
def test_full_disk_under_both_streams_is_a_status() -> None:
    """Where nothing can be said, the status alone tells."""
    with open("/dev/full", "w") as full:
        run = subprocess.run([sys.executable, "-m", "softfloat_py", "cpus"], stdout=full, stderr=full)

    assert 2 == run.returncode


@cache
def run_by_a_shell(program: str) -> subprocess.CompletedProcess[str]:
    """What a program printed and its status."""
    return subprocess.run(program, shell=True, capture_output=True, text=True, check=False)


@pytest.mark.skipif(sys.platform == "win32", reason="its shell does not close streams")
@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-"])
@pytest.mark.parametrize(("command", "status"), [("explain 1 + 2", 0), ("--help", 0), ("explain 1", 2)])
def test_closed_streams_are_no_error(command: str, status: int, closed: str) -> None:
    """Where a stream is closed, what belongs on it goes nowhere, and the status is as ever."""
    program = f"{shlex.quote(sys.executable)} -m softfloat_py {command}"
    run, whole = run_by_a_shell(f"{program} {closed}"), run_by_a_shell(program)

    assert status == run.returncode
    assert ("" if closed.startswith(">") else whole.stdout) == run.stdout
    assert ("" if "2" in closed else whole.stderr) == run.stderr


ENCODINGS = [{"PYTHONIOENCODING": "ascii"}, {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}]


@pytest.mark.parametrize("surroundings", ENCODINGS, ids=lambda each: next(iter(each)))
def test_what_an_encoding_lacks_is_spelled(surroundings: dict[str, str], tmp_path: Path) -> None:
    """Where characters beyond ASCII cannot be printed, microseconds are us, and other ones question marks."""
    kernel = tmp_path / "größe.py"
    kernel.write_text(
        "def kernel(x):\n    return x * x\n\ndef inputs():\n    return (1.5,)\n", encoding="utf-8"
    )
    run = subprocess.run(
        [sys.executable, "-m", "softfloat_py", "estimate", kernel.name, "--cpu", "RP2040"],
        cwd=tmp_path, env=os.environ | surroundings, capture_output=True, check=False,
    )  # fmt: skip

    assert (0, b"") == (run.returncode, run.stderr)
    assert re.match(rb"gr\?+e\.py in binary32: 1 call ", run.stdout)
    assert re.search(rb"^\d+ cycles, [\d.]+ us$", run.stdout, re.MULTILINE)
