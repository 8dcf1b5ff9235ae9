"""Emitted C compiled for this machine and called from Python on arrays of operands."""

from __future__ import annotations

import ctypes
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.c.files import Function, Meaning, Unit, Value
from softfloat_py.lowering.words import count_words
from tests import tools

WARNINGS = (
    "-std=c99", "-Wall", "-Wextra", "-Wconversion", "-pedantic", "-Wdeclaration-after-statement", "-Werror",
)  # fmt: skip
WORDS = 2  # 64-bit words that hold any operand or result here
Table = NDArray[np.uint64]


def need_gcc() -> str:
    """The host's compiler; the end of a test where there is none."""
    return tools.compiler("gcc", "gcc")


@dataclass(frozen=True)
class Compiled:
    """A unit as a shared object."""

    unit: Unit
    library: ctypes.CDLL

    def run(self, function: Function, operands: Sequence[Table], direction: int) -> tuple[Table, list[int]]:
        """Results, in a table a result, and flags of each call; operands are tables of `WORDS` columns."""
        count = len(operands[0])
        results = np.zeros((len(function.results), count, WORDS), dtype=np.uint64)
        flags = np.zeros(count, dtype=np.uint32)
        tables = [np.ascontiguousarray(table) for table in (*operands, results, flags)]
        pointers = [ctypes.c_void_p(table.ctypes.data) for table in tables]
        getattr(self.library, f"run_{function.name}")(
            ctypes.c_size_t(count), ctypes.c_uint(direction), *pointers
        )
        return results, flags.tolist()


def compile_unit(unit: Unit, folder: Path, optimise: str = "-O0", options: Sequence[str] = ()) -> Compiled:
    """Compile a unit and a loop around each of its functions; any warning is an error, but for those that
    `options` leave out.
    """
    _, source = unit.save(folder)
    driver = folder / "driver.c"
    driver.write_text(driver_text(unit), encoding="ascii")
    shared = folder / "unit.so"
    arguments = [
        need_gcc(),
        optimise,
        *WARNINGS,
        *options,
        "-shared",
        "-fPIC",
        "-o",
        str(shared),
        str(source),
        str(driver),
    ]
    built = subprocess.run(arguments, capture_output=True, text=True, check=False)
    assert built.stderr == "", built.stderr[:3000]
    return Compiled(unit, ctypes.CDLL(str(shared)))


def driver_text(unit: Unit) -> str:
    """A loop around each function: operands and results as rows of 64-bit words."""
    lines = ["#include <stddef.h>", f'#include "{unit.prefix}.h"', ""]
    for function in unit.functions:
        lines += [prototype(function) + ";", "", prototype(function), "{", "    size_t i;"]
        lines += [f"    {line}" for line in loop_lines(unit, function)] + ["}", ""]
    return "\n".join(lines)


def prototype(function: Function) -> str:
    """The loop's own type."""
    operands = "".join(f"uint64_t const *{name}, " for name, _ in function.operands)
    parameters = f"size_t calls, unsigned direction, {operands}uint64_t *results, uint32_t *flags"
    return f"void run_{function.name}({parameters})"


def loop_lines(unit: Unit, function: Function) -> list[str]:
    """One call an element."""
    target = unit.target
    body: list[str] = []
    for name, value in function.operands:
        body += [f"{value.type(target)} {name}_in;"]
    for number, value in enumerate(function.results):
        body += [f"{value.type(target)} out_{number};"]
    for name, value in function.operands:
        body += load(f"{name}_in", f"{name} + {WORDS} * i", value, unit)
    if unit.keeps_flags:
        body += [f"{unit.flags} = 0;"]
    arguments = [f"{'&' if value.bits(target) is None else ''}{name}_in" for name, value in function.operands]
    if function.by_address(target):
        arguments += [f"&out_{number}" for number in range(len(function.results))]
        body += [f"{function.name}({', '.join(arguments)});"]
    else:
        body += [f"out_0 = {function.name}({', '.join(arguments)});"]
    for number, value in enumerate(function.results):
        body += store(f"out_{number}", f"results + {WORDS} * ({number} * calls + i)", value, unit)
    body += [f"flags[i] = {unit.flags if unit.keeps_flags else 0};"]
    start = [f"{unit.direction} = ({unit.small})direction;"] if unit.takes_direction else ["(void)direction;"]
    return [*start, "for (i = 0; i < calls; i++) {", *(f"    {line}" for line in body), "}"]


def load(name: str, source: str, value: Value, unit: Unit) -> list[str]:
    """Bring an operand from a row."""
    if value.bits(unit.target) is not None:
        return [f"{name} = ({value.type(unit.target)})*({source});"]
    bits, per_row = unit.target.widest, 64 // unit.target.widest
    return [
        f"{name}.word[{j}] = (uint{bits}_t)(*({source} + {j // per_row}) >> {bits * (j % per_row)});"
        for j in range(count_words(value.width, bits))
    ]


def store(name: str, place: str, value: Value, unit: Unit) -> list[str]:
    """Bring a result into a row."""
    if value.bits(unit.target) is not None:
        unsigned = "" if value.meaning is Meaning.TRUTH else f"(uint{value.bits(unit.target)}_t)"
        return [f"*({place}) = {unsigned}{name};"]
    bits, per_row = unit.target.widest, 64 // unit.target.widest
    return [
        f"*({place} + {j // per_row}) |= (uint64_t){name}.word[{j}] << {bits * (j % per_row)};"
        for j in range(count_words(value.width, bits))
    ]


def table_of(numbers: Sequence[int]) -> Table:
    """Numbers as rows of 64-bit words."""
    rows = [[number >> (64 * j) & ((1 << 64) - 1) for j in range(WORDS)] for number in numbers]
    return np.array(rows, dtype=np.uint64)


def numbers_of(table: Table) -> list[int]:
    """Rows of 64-bit words as numbers."""
    return [sum(int(word) << (64 * j) for j, word in enumerate(row)) for row in table.tolist()]
