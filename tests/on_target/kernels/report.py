"""The report on whole kernels: measured cycles beside estimates, a table for each CPU and format."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from statistics import median

import pytest

from softfloat_py.numbers.formats import Format
from softfloat_py.options import LEAN
from tests.on_target.cpus import Cpu
from tests.on_target.division_of_cases import HELD_OUT, is_held_out
from tests.on_target.kernels.pairs import NAMES, python_run
from tests.on_target.kernels.running import Bench, Measured
from tests.on_target.measuring import callers_part

IN_MEMORY = replace(LEAN, in_memory=True)
# Whose memories hold no kernel with what it calls; an 8051 with external memory is there as well.
TOO_SMALL = ("ATtiny85", "8051")
RATIOS = ("whole", "memory", "arithmetic", "own")
EXPLANATION = """\
whole: measured / estimate; memory: measured / estimate with operands and results in memory; arithmetic:
cycles in the emitted functions, each call made once more by itself, / estimate without the caller's part of
each call; own: share outside the functions."""


@dataclass(frozen=True)
class Row:
    """A kernel on a CPU in a format: cycles measured, and estimated if there is a cost model."""

    kernel: str
    format: str
    held_out: bool
    right: bool
    measured: int
    in_functions: int | None
    estimate: float | None
    estimate_in_memory: float | None
    estimate_of_functions: float | None

    @property
    def ratios(self) -> dict[str, float | None]:
        """What `EXPLANATION` explains."""
        return {
            "whole": _ratio(self.measured, self.estimate),
            "memory": _ratio(self.measured, self.estimate_in_memory),
            "arithmetic": _ratio(self.in_functions, self.estimate_of_functions),
            "own": None if self.in_functions is None else 1 - self.in_functions / self.measured,
        }


def _ratio(measured: int | None, estimate: float | None) -> float | None:
    return None if measured is None or estimate is None else measured / estimate


def row_of(cpu: Cpu, name: str, fmt: Format, run: Measured) -> Row:
    """A kernel's measurement beside its estimates."""
    plain = python_run(name, fmt)
    estimates: list[float | None] = [None, None, None]
    if cpu.model is not None:
        model = cpu.cost_model
        whole = plain.tally.estimate(model).cycles
        in_memory = python_run(name, fmt, IN_MEMORY).tally.estimate(model).cycles
        estimates = [whole, in_memory, whole - plain.calls.total() * callers_part(model)]
    held_out, right = is_held_out(name, fmt.name), run.outputs == plain.outputs
    return Row(name, fmt.name, held_out, right, run.cycles, run.in_functions, *estimates)


def rows_of(cpu: Cpu, fmt: Format, folder: Path) -> Iterator[Row]:
    """All kernels on a CPU in a format, measured one by one."""
    bench = Bench(cpu, fmt, folder)
    for name in NAMES:
        yield row_of(cpu, name, fmt, bench.measured(name))


def report(cpu: Cpu, formats: Sequence[Format], folder: Path) -> list[Row]:
    """Print the tables of a CPU; gives their rows. Where a tool is missing, a line says so."""
    if cpu.name in TOO_SMALL:
        print("too small for these kernels")
        return []
    rows = []
    for fmt in formats:
        print(f"{fmt.name:22}{'':10}{'measured':>11}{'estimate':>11}" + "".join(f"{r:>11}" for r in RATIOS))
        of_format = []
        try:
            for row in rows_of(cpu, fmt, folder / fmt.name):
                of_format.append(row)
                print(line(row), flush=True)
        except pytest.skip.Exception as reason:
            print(f"skipped: {reason}")
            break
        print("\n".join(summary(of_format)))
        rows += of_format
    return rows


def line(row: Row) -> str:
    """A kernel's line."""
    estimate = "-" if row.estimate is None else f"{row.estimate:.0f}"
    numbers = "".join(f"{_shown(ratio):>11}" for ratio in row.ratios.values())
    text = f"{row.kernel:22}{HELD_OUT if row.held_out else '':10}{row.measured:>11}{estimate:>11}{numbers}"
    return text if row.right else f"{text}  WRONG RESULTS"


def _shown(ratio: float | None) -> str:
    return "-" if ratio is None else f"{ratio:.2f}"


def summary(rows: Sequence[Row]) -> Iterator[str]:
    """Lowest, highest and median of each ratio: of all kernels, and of those that are held out."""
    held_out = [row for row in rows if row.held_out]
    for title, some in (("all", rows), (HELD_OUT, held_out)):
        for name, of in (("lowest", min), ("highest", max), ("median", median)):
            values = [[v for row in some if (v := row.ratios[ratio]) is not None] for ratio in RATIOS]
            shown = "".join(f"{_shown(of(each) if each else None):>11}" for each in values)
            yield f"{f'{title}, {len(some)}: {name}':54}{shown}"


def save(cpu: Cpu, rows: Iterable[Row], folder: Path) -> None:
    """Keep rows with their ratios, as JSON."""
    folder.mkdir(parents=True, exist_ok=True)
    data = [asdict(row) | row.ratios for row in rows]
    path = folder / f"kernels-{cpu.name}-{cpu.toolchain.name}.json"
    path.write_text(json.dumps(data, indent=2) + "\n", encoding="utf-8")
