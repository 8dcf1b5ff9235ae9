"""The program that measures on a board, run here with a timer of the tests' own."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

from softfloat_py.board.program import Program
from softfloat_py.engines.c.target import target_for
from softfloat_py.numbers.formats import Format
from softfloat_py.options import LEAN, Options
from softfloat_py.uses import Use
from tests.engines.compiled_c import WARNINGS, need_gcc

TIMER = Path(__file__).with_name("made_up_timer.h")
FILLED_IN = {
    'who = ""': 'who = "the crew"',
    'board = ""': 'board = "the bench"',
    'cpu = ""': 'cpu = "cortex-m0plus"',
    'compiler_options = ""': 'compiler_options = "-O1"',
    'date = ""': 'date = "2026-03-31"',
    "clock_mhz = 0": "clock_mhz = 12",
}


def program_of(
    fmt: Format, operations: Sequence[str], word: int = 32, calls: int = 10, options: Options = LEAN
) -> Program:
    """The program that measures some operations."""
    uses = [Use.named(name, fmt, options) for name in operations]
    return Program(uses, target_for(word), calls, "Made for a test.")


def printed(program: Program, folder: Path, *defined: str) -> str:
    """What a program prints that is compiled here, where any warning is an error."""
    program.save(folder)
    return run(folder, program.unit.prefix, f"-DCALLS={program.calls}u", *defined)


def run(folder: Path, prefix: str, *defined: str) -> str:
    """Compile what is in a folder, and run it."""
    files = ["-include", "stdint.h", "-include", str(TIMER), "measure.c", f"{prefix}.c", "-o", "measure"]
    # The timer stands before the operations too, which have no use for it.
    command = [need_gcc(), "-O1", *WARNINGS, "-Wno-unused-function", *defined, *files]
    built = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert built.stderr == "", built.stderr[:3000]
    return subprocess.run([folder / "measure"], check=True, capture_output=True, text=True).stdout


def filled_in(text: str) -> str:
    """What was printed, completed by who measured."""
    for empty, full in FILLED_IN.items():
        assert empty in text, empty
        text = text.replace(empty, full)
    return text
