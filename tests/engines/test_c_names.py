"""Names of one's own in emitted C: whatever a format is called, compilers of C and C++ take the text."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from softfloat_py.c_export import c_unit
from softfloat_py.commands.words import wanted
from softfloat_py.engines.c.passing import identifier
from softfloat_py.engines.c.target import target_for
from softfloat_py.errors import FormatError
from softfloat_py.numbers.formats import Format, binary16, binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN
from softfloat_py.uses import use_of
from tests import tools
from tests.engines.compiled_c import WARNINGS, need_gcc

CONVERSION = OPERATIONS["convert_format"]
NAMES = [
    "9x", "é", "日本", "swell*/heave", "/* swell", "swell\nheave", "\\", "??/", "_", "int", "*/ #error /*",
    "of waves " * 30, "w" * 300, "swell\0",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_any_name_of_a_format_is_taken(name: str, tmp_path: Path) -> None:
    """Header and source compile without a warning, and the name is said in a comment."""
    fmt = Format(name, exponent_bits=5, precision=70)
    negation, conversion = wanted("negate", fmt, COMPLETE), use_of(CONVERSION, fmt, COMPLETE, binary16)
    unit = c_unit([negation, conversion], target_for(32), "Made.")
    unit = unit if len(unit.prefix) < 100 else c_unit([negation], target_for(32))
    (tmp_path / "unit.h").write_text(unit.header(), encoding="ascii")
    (tmp_path / "unit.c").write_text(
        unit.source().replace(f'"{unit.prefix}.h"', '"unit.h"'), encoding="ascii"
    )
    command = [need_gcc(), *WARNINGS, "-Wcomment", "-c", "unit.c", "-o", "unit.o"]
    built = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (0, "") == (built.returncode, built.stderr)
    assert all(len(line) <= 120 for line in unit.header().splitlines() if line.startswith((" *", "/*")))


@pytest.mark.parametrize(
    ("expected", "name"),
    [
        ("binary32", "binary32"),
        ("format_9x", "9x"),
        ("a_b", "a b"),
        ("format__", "é"),
        ("s__e", "s/%e"),
    ],
)
def test_identifiers(expected: str, name: str) -> None:
    """Names are C's own kind: ASCII, and with a letter first, as others are for compilers alone."""
    assert expected == identifier(name)


def test_names_that_are_one_in_c_are_refused() -> None:
    """Two formats of a unit whose functions or macros would have one name are an error that names both."""
    first, second = Format("a b", exponent_bits=5, precision=70), Format("A_B", exponent_bits=6, precision=80)
    with pytest.raises(
        FormatError, match=r"^formats of one C unit must have names that differ in C, and "
    ) as e:
        c_unit([use_of(CONVERSION, first, LEAN, second)], target_for(32))
    assert repr(first) in str(e.value)
    assert repr(second) in str(e.value)
    assert str(e.value).endswith(" are both A_B there; give one another name")


def test_what_is_asked_for_twice_is_written_once() -> None:
    """An operation given twice is one function."""
    negation = wanted("negate", binary32, LEAN)
    assert 1 == len(c_unit([negation, negation], target_for(32)).functions)


def test_c_plus_plus_finds_the_functions(tmp_path: Path) -> None:
    """A program in C++ that includes the header is linked with what a compiler of C made."""
    compiler = tools.compiler("g++", "g++")
    c_unit([wanted("addition", binary32, COMPLETE)], target_for(32)).save(tmp_path)
    (tmp_path / "buoy.cpp").write_text(
        '#include "binary32.h"\n'
        "int main() {\n"
        "    binary32_status_flags = 0;\n"
        "    return binary32_addition(0x3F800000, 0x3F800000) == 0x40000000 ? 0 : 1;\n"
        "}\n",
        encoding="ascii",
    )
    commands = [
        [need_gcc(), "-c", "binary32.c"],
        [compiler, "-Wall", "-Wextra", "-pedantic", "-Werror", "buoy.cpp", "binary32.o", "-o", "buoy"],
        ["./buoy"],
    ]
    for command in commands:
        done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
        assert (0, "") == (done.returncode, done.stderr)
