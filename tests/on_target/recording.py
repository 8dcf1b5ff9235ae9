"""What cost tables record of compiled code, measured and written into them.

`moves_a_step` of a compiler's code is fitted to the operations that may be looked at (`looked_at.toml`), so
that their ratios lie around 1; whatever else is recorded then comes out as it does. What is written stands at
the end of a table, below a line that says so; nothing there is written by hand.
"""

from __future__ import annotations

import json
import re
import subprocess
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from softfloat_py.numbers.formats import KNOWN_FORMATS, Format, binary32
from softfloat_py.pricing.cost_model import CostModel
from tests.engines.c_cases import corners
from tests.on_target import division_of_cases
from tests.on_target.cpus import LARGE_ATMEGA, OTHER_PLACES, Cpu
from tests.on_target.images import Toolchain
from tests.on_target.kernels.report import TOO_SMALL, Row, rows_of
from tests.on_target.measuring import Measured, callers_part, expected, measured, predicted, simulator_of
from tests.on_target.operands import SETS, operands_of

TABLES = Path(__file__).parents[2] / "costmodels"
MARK = (
    "# -- compared with compiled code: written by python -m tests.on_target --record -----------------------"
)
CALLS = 100  # of each set of operands, before the corner ones

# What is recorded beside the operations that are looked at, of a CPU's own compiler.
OTHERS = (
    "compare_quiet_less",
    "compare_quiet_equal",
    "fused_multiply_add",
    "remainder",
    "minimum",
    "round_to_integral_ties_to_even",
)
FUNCTIONS = ("exp", "log", "sin", "atan", "pow", "hypot", "r_sqrt")
TOO_LARGE = {"ATmega1284P": ("pow",)}
OF_FUNCTIONS = ("Cortex-M0+", "Cortex-M4", "RV32IMC", "MC68000", "ATmega1284P")

# Compilers that take minutes where others take a second, or memories that hold no more.
NARROW = ("sdcc", "cl65")

Case = tuple[str, str]  # an operation and a format


@dataclass(frozen=True)
class Run:
    """All calls of an operation: those of the sets first, as many of each, corner ones last."""

    measured: Measured
    operation: str
    format: Format

    def ratios(self, model: CostModel) -> tuple[float, float, float]:
        """Measured over predicted cycles: of the means over normal operands; the lowest and the highest of a
        call, with the caller's part.
        """
        cycles = self.measured.cycles
        estimates = predicted(self.operation, self.format, self.measured.operands, model)
        normal = len(SETS) * CALLS
        calls = (cycles + callers_part(model)) / (estimates + callers_part(model))
        return cycles[:normal].mean() / estimates[:normal].mean(), calls.min(), calls.max()


def run_of(cpu: Cpu, operation: str, fmt: Format, folder: Path) -> Run:
    """An operation on a CPU; AssertionError for a wrong result."""
    special = np.array(corners(fmt), dtype=np.uint64)
    normal = [operands_of(operation, fmt, which, CALLS) for which in SETS]
    columns = [np.roll(special, 5 * column) for column in range(normal[0].shape[1])]
    rows = np.concatenate([*normal, np.stack(columns, axis=1)])
    run = measured(simulator_of(cpu, operation, fmt, folder), operation, rows)
    wrong = rows[run.results != expected(operation, fmt, rows)]
    assert not len(wrong), f"{operation} on {cpu.name} is wrong of {wrong[0]}"
    return Run(run, operation, fmt)


# -- the fit ---------------------------------------------------------------------------------------------


def with_moves(model: CostModel, moves: float) -> CostModel:
    """A model with so many moves a step beyond its rules."""
    code = model.surrounding_code
    figure = replace(code.moves_a_step, value=moves)
    return replace(model, surrounding_code=replace(code, moves_a_step=figure))


def fitted_moves(runs: Mapping[Case, Run], model: CostModel) -> float:
    """The moves a step with which the ratios of what may be looked at lie around 1: the sum of the squares of
    their logarithms is the least there is, in steps of 0.005 within the limits of the compiler.
    """
    ends = [_estimates(runs, with_moves(model, moves)) for moves in (0.0, 1.0)]
    cycles = np.array([run.measured.cycles[: len(SETS) * CALLS].mean() for run in runs.values()])
    limits = model.compiler.moves_a_step
    candidates = np.arange(limits.lowest, min(limits.highest, 3.0), 0.005)
    costs = [float(np.sum(np.log(cycles / (ends[0] + m * (ends[1] - ends[0]))) ** 2)) for m in candidates]
    return round(float(candidates[int(np.argmin(costs))]), 3)


def _estimates(runs: Mapping[Case, Run], model: CostModel) -> NDArray[np.float64]:
    normal = len(SETS) * CALLS
    return np.array(
        [predicted(r.operation, r.format, r.measured.operands[:normal], model).mean() for r in runs.values()]
    )


# -- what is written -------------------------------------------------------------------------------------


def record(cpus: Sequence[Cpu]) -> Iterator[str]:
    """Measure CPUs and write their tables, each once for all compilers of its CPU; says what was written."""
    for cpu in cpus:
        if cpu.model is None:
            continue
        made = {chain.name: _part(cpu, chain) for chain in cpu.toolchains}
        for other in (other for other in OTHER_PLACES if other.model == cpu.model):
            if other.toolchain.name not in made:
                made[other.toolchain.name] = _part(other, other.toolchain)
        parts = [part for part in made.values() if part is not None]
        if parts:
            path = TABLES / f"{cpu.model}.toml"
            own = path.read_text(encoding="utf-8").partition(MARK)[0].rstrip()
            path.write_text("\n".join([own, "", MARK, "", *_documents(cpu), *parts]), encoding="utf-8")
            yield f"{path.name}: {', '.join(name for name, part in made.items() if part is not None)}"


def _part(cpu: Cpu, chain: Toolchain) -> str | None:
    """The layer of a compiler; None where a tool is missing."""
    is_own, cpu = chain == cpu.toolchain, replace(cpu, toolchain=chain)
    formats = [KNOWN_FORMATS[name] for name in division_of_cases.FORMATS]
    if chain.compiler in NARROW:
        formats = formats[:1]
    try:
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            runs = {
                (operation, fmt.name): run_of(cpu, operation, fmt, folder)
                for fmt in formats
                for operation in division_of_cases.OPERATIONS
            }
            moves = fitted_moves(runs, cpu.cost_model)
            cpu = replace(cpu, priced_by=with_moves(cpu.cost_model, moves))
            kernels = _kernels_on(cpu, formats, folder)
            lines = [*_moves(chain, moves), *_operations(cpu, runs), *_kernels(cpu, kernels)]
            if is_own and chain.compiler not in NARROW and cpu.name not in TOO_SMALL:
                lines += _others(cpu, folder)
                with_room = replace(LARGE_ATMEGA, priced_by=cpu.priced_by) if cpu.model == "atmega" else cpu
                lines += _functions(with_room, folder) if with_room.name in OF_FUNCTIONS else ()
    except pytest.skip.Exception:
        return None
    return "\n".join([*lines, ""])


def _kernels_on(cpu: Cpu, formats: Sequence[Format], folder: Path) -> list[Row]:
    """Whole kernels, where a memory holds them, a compiler has all that they need, and a simulator has the
    price of each instruction.
    """
    rows: list[Row] = []
    for fmt in formats if cpu.name not in TOO_SMALL else ():
        try:
            rows += rows_of(cpu, fmt, folder / "kernels" / fmt.name)
        except (AssertionError, KeyError) as fault:
            if isinstance(fault, AssertionError) and "undefined reference" not in str(fault):
                raise
    assert all(row.right for row in rows), f"kernels are wrong on {cpu.name}"
    return rows


def _moves(chain: Toolchain, moves: float) -> Iterator[str]:
    yield f"[compilers.{chain.name}.surrounding_code.moves_a_step]"
    yield f"value = {moves}"
    yield 'source = "emitted-c"'
    yield 'standing = "measured"'
    operations = ", ".join(division_of_cases.OPERATIONS)
    yield f'note = "with it the ratios of {operations} lie around 1"'
    yield ""


def _operations(cpu: Cpu, runs: Mapping[Case, Run]) -> Iterator[str]:
    ratios = [run.ratios(cpu.cost_model) for run in runs.values()]
    names = ", ".join(dict.fromkeys(operation for operation, _ in runs))
    formats = " and ".join(dict.fromkeys(fmt for _, fmt in runs))
    yield from _entry(cpu, f"emitted C: {names}; {formats}, lean")
    yield from _ratios(ratios)
    yield from _source("emitted-c")


def _kernels(cpu: Cpu, rows: Sequence[Row]) -> Iterator[str]:
    formats = " and ".join(dict.fromkeys(row.format for row in rows))
    kernels = len({row.kernel for row in rows})
    for ratio, in_memory in (("whole", False), ("memory", True)):
        if not rows:
            return
        yield from _entry(cpu, f"{kernels} kernels that call emitted C; {formats}, lean")
        yield "kernels = true"
        if in_memory:
            yield "in_memory = true"
        yield from _means([value for row in rows if (value := row.ratios[ratio]) is not None])
        yield from _source("emitted-kernels")


def _entry(cpu: Cpu, operations: str) -> Iterator[str]:
    yield f"[[compilers.{cpu.toolchain.name}.compared_with_compiled_code]]"
    yield f"compiler = {_text(version(cpu.toolchain))}"
    yield f"operations = {_text(operations)}"


def _ratios(ratios: Sequence[tuple[float, float, float]]) -> Iterator[str]:
    """Those of means; and of single calls, which have the caller's part, no nearer to each other."""
    means, lowest, highest = zip(*ratios, strict=True)
    yield from _means(means)
    yield f"lowest_call_ratio = {_down(min(*means, *lowest))}"
    yield f"highest_call_ratio = {_up(max(*means, *highest))}"


def _means(means: Sequence[float]) -> Iterator[str]:
    yield f"lowest_ratio = {_down(min(means))}"
    yield f"highest_ratio = {_up(max(means))}"


def _source(document: str) -> Iterator[str]:
    yield f'source = "{document}"'
    yield 'standing = "measured"'
    yield ""


def _others(cpu: Cpu, folder: Path) -> Iterator[str]:
    """Operations that no figure was fitted to, which lie further off than those: one entry each."""
    for operation in OTHERS:
        run = run_of(cpu, operation, binary32, folder)
        yield from _entry(cpu, f"emitted C: {operation}; binary32, lean")
        yield f"only = {json.dumps([operation])}"
        yield from _ratios([run.ratios(cpu.cost_model)])
        yield from _source("emitted-c")


def _functions(cpu: Cpu, folder: Path) -> Iterator[str]:
    """Elementary functions, as far as a CPU's flash holds them."""
    names = [name for name in FUNCTIONS if name not in TOO_LARGE.get(cpu.name, ())]
    ratios = [run_of(cpu, name, binary32, folder).ratios(cpu.cost_model) for name in names]
    yield from _entry(cpu, f"emitted C: {', '.join(names)}; binary32, lean")
    yield "elementary = true"
    yield from _ratios(ratios)
    yield from _source("emitted-c")


def _documents(cpu: Cpu) -> Iterator[str]:
    """The documents that entries name: what was run, and what cycles are those of."""
    bracket = f"; cycles are a bracket: {cpu.bracket}" if cpu.bracket else ""
    what = f"{CALLS} pairs of normal operands with exponents within 8 of 0, and {CALLS} with any"
    calls = (
        "from entry to return, without the caller's part; single calls with it, and with corner operands too"
    )
    yield "[documents.emitted-c]"
    yield f"title = {_text(f'C emitted by this library with lean options, compiled for the {cpu.name}')}"
    yield f"note = {_text(f'run in a simulator, without wait states: {what}; {calls}{bracket}')}"
    yield ""
    yield "[documents.emitted-kernels]"
    yield f"title = {_text('Kernels in C that call what this library emits with lean options')}"
    yield f"note = {_text(f'run in a simulator, with data in memory and loops of their own{bracket}')}"
    yield ""


def version(chain: Toolchain) -> str:
    """A compiler with its version and level of optimisation: avr-gcc 5.4, -O2."""
    shown = subprocess.run([chain.find(), "--version"], capture_output=True, text=True, check=True)
    number = re.search(r"\d+\.\d+", shown.stdout + shown.stderr)
    levels = [option for option in chain.options if re.fullmatch("-O.", option)]
    return ", ".join([f"{chain.compiler} {number.group() if number else ''}".strip(), *levels])


def _down(ratio: float) -> float:
    return floor(100 * ratio) / 100


def _up(ratio: float) -> float:
    return ceil(100 * ratio) / 100


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
