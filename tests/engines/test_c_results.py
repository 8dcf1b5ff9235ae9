"""Emitted C gives the bits and flags of the plain engine, with no warning and no undefined behaviour."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from softfloat_py.c_export import c_unit
from softfloat_py.engines import plain
from softfloat_py.engines.c.files import Function, Unit
from softfloat_py.engines.c.target import target_for
from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from softfloat_py.operations import Operation
from tests.engines.c_cases import EVERYTHING, OTHERS, SOME_ELEMENTARY, Case, corners, operand_rows
from tests.engines.compiled_c import (
    WARNINGS,
    Compiled,
    compile_unit,
    driver_text,
    need_gcc,
    numbers_of,
    prototype,
    table_of,
)

Row = tuple[int, ...]


def unit_of(case: Case, *, reentrant: bool = False) -> Unit:
    """The C of a case."""
    return c_unit(case.wanted(), target_for(case.word, case.multiplier), reentrant=reentrant)


@cache
def expected(
    operation: Operation, function: Function, fmt: Format, special: bool
) -> dict[int, list[tuple[Row, Row, int]]]:
    """By rounding direction: operands, results and flags as the plain engine has them."""
    program = function.program
    run: Any = plain.compiled(program).run
    rows = operand_rows(operation, fmt, [value.width for value in function.signature.operands], special)
    directions = list(Rounding) if function.signature.takes_direction else [Rounding.TIES_TO_EVEN]
    outcomes: dict[int, list[tuple[Row, Row, int]]] = {}
    for direction in directions:
        chosen = rows[direction :: len(directions)]
        for row in chosen:
            *results, _ = run(*row, *([direction] if function.signature.takes_direction else []))
            flags = results.pop() if program.keeps_flags else 0
            outcomes.setdefault(direction, []).append((row, tuple(map(int, results)), flags))
    return outcomes


def differences(compiled: Compiled, case: Case) -> list[str]:
    """Every call whose result or flags differ."""
    found = []
    for one, function in zip(case.wanted(), compiled.unit.functions, strict=True):
        outcomes = expected(one.operation, function, case.fmt, case.options.special)
        for direction, calls in outcomes.items():
            operands = [
                table_of([row[i] for row, _, _ in calls]) for i in range(len(function.signature.operands))
            ]
            tables, flags = compiled.run(function, operands, direction)
            results = zip(*(numbers_of(table) for table in tables), strict=True)
            for (row, wanted, raised), got, raised_in_c in zip(calls, results, flags, strict=True):
                if (wanted, raised) != (got, raised_in_c):
                    found.append(f"{function.name}{row}: {wanted} {raised}, in C {got} {raised_in_c}")
    return found


@pytest.mark.parametrize("case", [*EVERYTHING, *OTHERS], ids=lambda case: case.name)
def test_c_gives_the_bits_and_flags_of_the_plain_engine(case: Case, tmp_path: Path) -> None:
    """The operations of a case compile without a warning, and deliver what the plain engine does."""
    compiled = compile_unit(unit_of(case), tmp_path)

    assert [] == differences(compiled, case)


@pytest.mark.parametrize(
    "case",
    [Case(binary32, 8), Case(binary64, 32), Case(binary16, 32, operations=SOME_ELEMENTARY)],
    ids=lambda case: case.name,
)
def test_c_has_no_undefined_behaviour(case: Case, tmp_path: Path) -> None:
    """Under the compiler's sanitizers no call on corner operands is stopped."""
    unit = unit_of(case)
    _, source = unit.save(tmp_path)
    (tmp_path / "driver.c").write_text(driver_text(unit), encoding="ascii")
    (tmp_path / "main.c").write_text(main_text(unit, case.fmt), encoding="ascii")
    sanitizers = ("-g", "-fsanitize=undefined,address", "-fno-sanitize-recover=all")
    program = tmp_path / "all_calls"
    sources = [str(source), str(tmp_path / "driver.c"), str(tmp_path / "main.c")]
    command = [need_gcc(), *WARNINGS, *sanitizers, "-o", str(program), *sources]
    built = subprocess.run(command, capture_output=True, text=True, check=False)

    assert "" == built.stderr
    done = subprocess.run([str(program)], capture_output=True, text=True, check=False)
    assert (0, "") == (done.returncode, done.stderr[:2000])


def main_text(unit: Unit, fmt: Format) -> str:
    """A program that calls every function on all combinations of corner operands in every direction."""
    numbers = corners(fmt)
    table = ", ".join(f"{bits:#x}u, 0" for bits in numbers)
    n = len(numbers)
    lines = [
        "#include <stddef.h>", "#include <stdint.h>",
        *(f"{prototype(function)};" for function in unit.functions),
        f"static uint64_t const corner[{2 * n}] = {{ {table} }};",
        f"static uint64_t x[{2 * n * n}], y[{2 * n * n}], z[{2 * n * n}], results[{4 * n * n}];",
        f"static uint32_t flags[{n * n}];",
        "int main(void)", "{", "    size_t i; unsigned d;",
        f"    for (i = 0; i < {n * n}; i++) {{",
        f"        x[2 * i] = corner[2 * (i % {n})]; y[2 * i] = corner[2 * (i / {n})];",
        f"        z[2 * i] = corner[2 * ((i * 7 + 3) % {n})];",
        "    }",
        "    for (d = 0; d < 5; d++) {",
    ]  # fmt: skip
    for function in unit.functions:
        operands = ", ".join("xyz"[: len(function.signature.operands)])
        lines.append(f"        run_{function.name}({n * n}, d, {operands}, results, flags);")
    return "\n".join([*lines, "    }", "    return 0;", "}", ""])
