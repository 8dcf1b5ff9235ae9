"""Emitted C compiled for this machine and called from Python on arrays of operands."""

from __future__ import annotations

import ctypes
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.c.files import Function, Unit
from softfloat_py.engines.c.passing import Passed
from softfloat_py.engines.signature import Meaning
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
        results = np.zeros((len(function.signature.results), count, WORDS), dtype=np.uint64)
        flags = np.zeros(count, dtype=np.uint32)
        tables = [np.ascontiguousarray(table) for table in (*operands, results, flags)]
        pointers = [ctypes.c_void_p(table.ctypes.data) for table in tables]
        getattr(self.library, f"run_{function.name}")(
            ctypes.c_size_t(count), ctypes.c_uint(direction), *pointers
        )
        return results, flags.tolist()


def compile_unit(unit: Unit, folder: Path, options: Sequence[str] = ()) -> Compiled:
    """Compile a unit and a loop around each of its functions; any warning is an error, but for those that
    `options` leave out.
    """
    _, source = unit.save(folder)
    driver = folder / "driver.c"
    driver.write_text(driver_text(unit), encoding="ascii")
    shared = folder / "unit.so"
    files = ["-o", str(shared), str(source), str(driver)]
    arguments = [need_gcc(), "-O0", *WARNINGS, *options, "-shared", "-fPIC", *files]
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
    operands = "".join(f"uint64_t const *{operand.name}, " for operand in function.signature.operands)
    parameters = f"size_t calls, unsigned direction, {operands}uint64_t *results, uint32_t *flags"
    return f"void run_{function.name}({parameters})"


def loop_lines(unit: Unit, function: Function) -> list[str]:
    """One call an element."""
    passing, surroundings = unit.passing(function), unit.surroundings
    body = [f"{operand.type} {operand.name}_in;" for operand in passing.operands]
    body += [f"{result.type} out_{number};" for number, result in enumerate(passing.results)]
    for operand in passing.operands:
        body += load(operand)
    flags = "raised" if unit.reentrant else surroundings.flags
    if unit.keeps_flags:
        body += [f"{flags} = 0;"]
    body += [call(unit, function)]
    for number, result in enumerate(passing.results):
        body += store(f"out_{number}", f"results + {WORDS} * ({number} * calls + i)", result)
    body += [f"flags[i] = {flags if unit.keeps_flags else 0};"]
    start = [f"{surroundings.type} raised;"] if unit.reentrant and unit.keeps_flags else []
    if unit.takes_direction and not unit.reentrant:
        start += [f"{surroundings.direction} = ({surroundings.type})direction;"]
    else:
        start += ["(void)direction;"]
    return [*start, "for (i = 0; i < calls; i++) {", *(f"    {line}" for line in body), "}"]


def call(unit: Unit, function: Function) -> str:
    """The call of a function."""
    name, passing, signature = function.name, unit.passing(function), function.signature
    arguments = [f"{'&' if operand.bits is None else ''}{operand.name}_in" for operand in passing.operands]
    if passing.by_address:
        arguments += [f"&out_{number}" for number in range(len(passing.results))]
    if unit.reentrant and signature.takes_direction:
        arguments += [f"({unit.surroundings.type})direction"]
    if unit.reentrant and signature.keeps_flags:
        arguments += ["&raised"]
    return f"{'' if passing.by_address else 'out_0 = '}{name}({', '.join(arguments)});"


def load(operand: Passed) -> list[str]:
    """Bring an operand from a row."""
    name, source = f"{operand.name}_in", f"{operand.name} + {WORDS} * i"
    if operand.bits is not None:
        return [f"{name} = ({operand.type})*({source});"]
    bits = operand.target.widest
    per_row = 64 // bits
    return [
        f"{name}.word[{j}] = (uint{bits}_t)(*({source} + {j // per_row}) >> {bits * (j % per_row)});"
        for j in range(count_words(operand.value.width, bits))
    ]


def store(name: str, place: str, result: Passed) -> list[str]:
    """Bring a result into a row."""
    if result.bits is not None:
        unsigned = "" if result.value.meaning is Meaning.TRUTH else f"(uint{result.bits}_t)"
        return [f"*({place}) = {unsigned}{name};"]
    bits = result.target.widest
    per_row = 64 // bits
    return [
        f"*({place} + {j // per_row}) |= (uint64_t){name}.word[{j}] << {bits * (j % per_row)};"
        for j in range(count_words(result.value.width, bits))
    ]


def table_of(numbers: Sequence[int]) -> Table:
    """Numbers as rows of 64-bit words."""
    rows = [[number >> (64 * j) & ((1 << 64) - 1) for j in range(WORDS)] for number in numbers]
    return np.array(rows, dtype=np.uint64)


def numbers_of(table: Table) -> list[int]:
    """Rows of 64-bit words as numbers."""
    return [sum(int(word) << (64 * j) for j, word in enumerate(row)) for row in table.tolist()]
