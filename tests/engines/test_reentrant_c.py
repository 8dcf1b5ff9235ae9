"""The re-entrant form of emitted C: direction and flags are parameters, and any file may include the text."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from softfloat_py.__main__ import main
from softfloat_py.engines.c.files import Unit
from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import binary16, binary32, binary64, binary128, ofp8_e4m3
from softfloat_py.options import COMPLETE, LEAN
from tests import tools
from tests.engines.c_cases import CONVERSIONS, ROUNDED, Case
from tests.engines.compiled_c import WARNINGS, compile_unit, need_gcc
from tests.engines.test_c_results import differences, unit_of
from tests.engines.test_called_in_c import unit_of as unit_that_calls
from tests.engines.test_looking_up import unit_of_tables

# Of every kind: numbers, integers, truths, two results; with a direction and without; flags that never come.
KINDS = (
    *ROUNDED, *CONVERSIONS, "compare_signaling_less", "classify", "negate", "scale_b", "remainder", "minimum",
    "augmented_multiplication", "round_to_integral_exact",
)  # fmt: skip
CASES = [
    Case(binary16, 8, operations=(*KINDS, "exp")),
    Case(binary32, 32, operations=KINDS),
    Case(binary64, 64, operations=KINDS),
    Case(binary128, 16, operations=("addition", "negate", "convert_format:binary32")),
    Case(ofp8_e4m3, 8, operations=("addition", "convert_to_integer:int8")),
    Case(binary32, 16, LEAN, operations=("multiplication", "square_root")),
]
SUM = Case(binary32, 32, operations=("addition", "augmented_addition", "negate"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_reentrant_c_gives_the_bits_and_flags_of_the_plain_engine(case: Case, tmp_path: Path) -> None:
    """All deliver what the plain engine does, in all directions, and compile without a warning."""
    assert [] == differences(compile_unit(unit_of(case, reentrant=True), tmp_path), case)


def done(folder: Path, *command: str) -> str:
    """What a command prints, which must do it without a complaint."""
    run = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert (0, "") == (run.returncode, run.stderr)
    return run.stdout


def symbols(folder: Path, source: str, *options: str) -> dict[str, str]:
    """The symbols of a compiled source, each with the letter that nm has for its kind."""
    done(folder, need_gcc(), *WARNINGS, *options, "-c", source, "-o", "unit.o")
    lines = done(folder, tools.compiler("nm", "binutils"), "unit.o").splitlines()
    return {line.split()[-1]: line.split()[-2] for line in lines}


VARIABLE = set("bBdDC")  # manual of nm: what lies in sections for data that are written


@pytest.mark.parametrize("reentrant", [False, True])
def test_reentrant_c_has_no_variables(reentrant: bool, tmp_path: Path) -> None:
    """What is compiled keeps nothing between calls, where the usual form has two variables."""
    unit = unit_that_calls(32, COMPLETE, reentrant=reentrant)
    unit.save(tmp_path)

    names = {name for name, kind in symbols(tmp_path, "binary32.c").items() if kind in VARIABLE}
    assert (set() if reentrant else {"binary32_rounding_direction", "binary32_status_flags"}) == names


def test_two_threads_round_in_different_directions_at_once(tmp_path: Path) -> None:
    """Each of many sums has the bits and the flags of its own thread's direction."""
    compiled = compile_unit(unit_of(SUM, reentrant=True), tmp_path, ["-O2"])
    addition = compiled.unit.functions[0]
    count = 400_000
    ones, tiny = np.zeros((2, count, 2), dtype=np.uint64)
    ones[:, 0], tiny[:, 0] = 0x3F800000, 1
    directions = [Rounding.TOWARD_POSITIVE, Rounding.TOWARD_NEGATIVE]
    with ThreadPoolExecutor(2) as threads:
        up, down = threads.map(lambda direction: compiled.run(addition, (ones, tiny), direction), directions)

    for (results, flags), expected in ((up, 0x3F800001), (down, 0x3F800000)):
        assert {expected} == set(results[0][:, 0].tolist())
        assert {16} == set(flags)  # inexact


INCLUDING = """\
#include "binary32.c"

{before} uint32_t sum_and_flags(uint32_t x, uint32_t y, uint32_t direction, uint32_t *flags)
{{
    return binary32_negate(binary32_addition(x, y, direction, flags), flags);
}}
"""


def including(folder: Path, before: str, unit: Unit) -> None:
    """Put a unit into a folder, and a file that includes it."""
    unit.save(folder)
    (folder / "buoy.c").write_text(INCLUDING.format(before=before), encoding="ascii")


def test_a_file_that_includes_the_text_places_its_functions(tmp_path: Path) -> None:
    """With the macro as `static`, nothing of it is seen from other files."""
    including(tmp_path, "", unit_of(SUM, reentrant=True))
    options = ("-DSOFTFLOAT_PY_FUNCTION=static", "-Wno-unused-function")

    everywhere = [name for name, kind in symbols(tmp_path, "buoy.c", *options).items() if kind.isupper()]
    assert ["sum_and_flags"] == everywhere


@pytest.mark.parametrize("unit", [unit_of(SUM, reentrant=True), unit_that_calls(32, LEAN, reentrant=True)])
def test_a_macro_stands_before_every_function(unit: Unit, tmp_path: Path) -> None:
    """Whatever it is defined as is there for those that others call, too: here, a section of memory."""
    unit.save(tmp_path)
    place = '-DSOFTFLOAT_PY_FUNCTION=__attribute__((section("placed")))'
    done(tmp_path, need_gcc(), *WARNINGS, place, "-c", "binary32.c", "-o", "unit.o")
    lines = done(tmp_path, tools.compiler("objdump", "binutils"), "--syms", "unit.o").splitlines()

    places = {words[-1]: words[-3] for words in map(str.split, lines) if "F" in words}
    assert {"placed"} == set(places.values())
    assert {function.name for function in unit.functions} <= set(places)


UNITS = [
    *(unit_of(case, reentrant=True) for case in CASES),
    unit_that_calls(8, COMPLETE, binary64, reentrant=True),
    *(unit_of_tables(word, reentrant=True) for word in (8, 64)),
]


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: f"{unit.prefix}-word{unit.target.word}")
@pytest.mark.parametrize("before", ["", "static"])
def test_reentrant_c_is_c_plus_plus(unit: Unit, before: str, tmp_path: Path) -> None:
    """A compiler of C++ takes the text as it is, as that of CUDA does, with any warning an error."""
    unit.save(tmp_path)
    warnings = ("-std=c++11", "-Wall", "-Wextra", "-pedantic", "-Werror", "-Wno-unused-function")
    macro = [f"-DSOFTFLOAT_PY_FUNCTION={before}"] if before else []
    compiler = tools.compiler("g++", "g++")

    done(tmp_path, compiler, *warnings, *macro, "-fsyntax-only", "-x", "c++", f"{unit.prefix}.c")


def test_lean_functions_are_the_same(tmp_path: Path) -> None:
    """Without flags and directions nothing but the macros is added."""
    case = Case(binary32, 32, LEAN, operations=("addition", "square_root"))
    usual, reentrant = (unit_of(case, reentrant=each).source() for each in (False, True))

    assert usual == reentrant.replace("SOFTFLOAT_PY_FUNCTION ", "")


def declarations(header: str) -> Sequence[str]:
    """The lines of a header that declare functions."""
    return [line for line in header.splitlines() if line.endswith(");")]


def test_direction_and_flags_are_the_last_parameters() -> None:
    """The direction by its value, the flags by their address, behind the results."""
    assert [
        "SOFTFLOAT_PY_FUNCTION uint32_t binary32_addition("
        "uint32_t x, uint32_t y, uint32_t direction, uint32_t *flags);",
        "SOFTFLOAT_PY_FUNCTION void binary32_augmented_addition("
        "uint32_t x, uint32_t y, uint32_t *result, uint32_t *error, uint32_t *flags);",
        "SOFTFLOAT_PY_FUNCTION uint32_t binary32_negate(uint32_t x, uint32_t *flags);",
    ] == declarations(unit_of(SUM, reentrant=True).header())


def test_the_command_writes_reentrant_c(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--reentrant` is all it takes, and the files say so."""
    arguments = ["c", "--operations", "addition", "--options", "complete", "--reentrant"]

    assert 0 == main([*arguments, "--output", str(tmp_path)])
    header = (tmp_path / "binary32.h").read_text()
    assert "--reentrant" in header
    assert "extern uint" not in header
    assert 1 == len(declarations(header))
