"""Cycles of emitted C, call by call, beside what the library predicts for the same calls."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

import softfloat_py as sf
from softfloat_py.engines import plain
from softfloat_py.numbers.applying import apply
from softfloat_py.numbers.formats import Format
from softfloat_py.options import LEAN
from softfloat_py.pricing.cost_model import CostModel
from tests.on_target.asked import use_asked_for
from tests.on_target.cpus import Cpu, Simulator
from tests.on_target.images import compiled

MEASURED_OPERATIONS = ("addition", "subtraction", "multiplication", "division", "square_root")


@dataclass(frozen=True)
class Measured:
    """What calls delivered and how long each took: operands a row a call, encodings, cycles."""

    operands: NDArray[np.uint64]
    results: NDArray[np.uint64]
    cycles: NDArray[np.int64]

    def save(self, path: Path) -> None:
        """Keep it in numpy's format for several arrays."""
        np.savez_compressed(path, operands=self.operands, results=self.results, cycles=self.cycles)


def simulator_of(cpu: Cpu, operation: str, fmt: Format, folder: Path) -> Simulator:
    """The CPU with an operation compiled for it."""
    place = folder / f"{cpu.name}-{cpu.toolchain.name}-{fmt.name}-{operation}"
    return cpu.simulator(compiled(cpu.toolchain, fmt, LEAN, operation, place))


def measured(simulator: Simulator, operation: str, operands: NDArray[np.uint64]) -> Measured:
    """All calls, one after the other."""
    calls = [simulator.call(operation, [int(operand) for operand in row]) for row in operands]
    results = np.array([result for result, _ in calls], dtype=np.uint64)
    return Measured(operands, results, np.array([cycles for _, cycles in calls], dtype=np.int64))


def expected(operation: str, fmt: Format, operands: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """What the plain engine delivers."""
    run = plain.compiled(use_asked_for(operation, fmt).program).run
    return np.array([run(*row)[0] for row in operands.tolist()], dtype=np.uint64)


def predicted(
    operation: str, fmt: Format, operands: NDArray[np.uint64], model: CostModel
) -> NDArray[np.float64]:
    """Cycles a call by the library's estimate, from entry to return as the measurement has it: without the
    call instruction and the passing of arguments, which are the caller's. Calls that leave the same record
    cost the same.
    """
    run = plain.compiled(use_asked_for(operation, fmt).program).run
    known: dict[Any, float] = {}
    cycles = []
    for row in operands.tolist():
        record = run(*row)[-1]
        if record not in known:
            known[record] = estimated(operation, fmt, row, model)
        cycles.append(known[record])
    return np.array(cycles)


def estimated(operation: str, fmt: Format, row: list[int], model: CostModel) -> float:
    """Cycles of one call by the library's estimate."""
    use = use_asked_for(operation, fmt)
    with sf.environment(options=LEAN), sf.counting() as tally:
        apply(use.operation, fmt, tuple(row), use.parameter)
    return tally.estimate(model).cycles - callers_part(model)


def callers_part(model: CostModel) -> float:
    """Cycles of a call that the caller spends."""
    return model.cycles("call", model.machine.word, None) + model.surrounding_code.argument_passing.cycles
