"""Whole kernels in C on the CPUs they are for: exact bits, and cycles that are those of their parts."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.numbers.formats import Format, binary32, binary64
from tests.on_target.cpus import CPUS, Cpu
from tests.on_target.kernels.pairs import NAMES, python_run
from tests.on_target.kernels.report import row_of
from tests.on_target.kernels.running import Bench, Measured

pytestmark = pytest.mark.on_target
Runs = Callable[[str, Format, str], Measured]
# One CPU of each way to pass numbers, and of each way to link and to start; the report has them all.
CPUS_AND_FORMATS = (
    ("Cortex-M0+", binary32),
    ("RV32IMC", binary64),
    ("ATmega328P", binary64),
    ("MC68000", binary32),
)
CASES: list[Any] = [
    pytest.param(cpu, fmt, name, id=f"{cpu}-{fmt.name}-{name}")
    for cpu, fmt in CPUS_AND_FORMATS
    for name in NAMES
]


def cpu_named(name: str) -> Cpu:
    """The CPU of a name."""
    (found,) = (cpu for cpu in CPUS if cpu.name == name)
    return found


@pytest.fixture(scope="session")
def runs(tmp_path_factory: pytest.TempPathFactory) -> Runs:
    """A function that runs a kernel on a CPU in a format; the emitted functions are compiled once, and each
    kernel is run once.
    """

    @cache
    def bench(cpu: str, fmt: Format) -> Bench:
        return Bench(cpu_named(cpu), fmt, tmp_path_factory.mktemp("kernels"))

    return cache(lambda cpu, fmt, name: bench(cpu, fmt).measured(name))


@pytest.mark.parametrize(("cpu", "fmt", "name"), CASES)
def test_bits_of_kernels_are_exact(cpu: str, fmt: Format, name: str, runs: Runs) -> None:
    """What a kernel delivers on the CPU is what the Python kernel does."""
    assert python_run(name, fmt).outputs == runs(cpu, fmt, name).outputs


@pytest.mark.parametrize(("cpu", "fmt", "name"), CASES)
def test_operations_are_the_larger_part_of_a_kernel(cpu: str, fmt: Format, name: str, runs: Runs) -> None:
    """A kernel's calls by themselves, where that can be measured, are over half of it and less than all."""
    run = runs(cpu, fmt, name)

    assert run.in_functions is None or 0.5 * run.cycles < run.in_functions < run.cycles


@pytest.mark.parametrize("in_memory", [False, True], ids=["in registers", "in memory"])
@pytest.mark.parametrize(("cpu", "fmt"), CPUS_AND_FORMATS, ids=str)
def test_cycles_of_kernels_are_within_the_band(cpu: str, fmt: Format, in_memory: bool, runs: Runs) -> None:
    """Measured by estimated cycles lie between the ratios that the cost model records for whole kernels."""
    lowest, highest = recorded(cpu_named(cpu), in_memory, fmt)
    rows = [row_of(cpu_named(cpu), name, fmt, runs(cpu, fmt, name)) for name in NAMES]
    ratios = {row.kernel: row.ratios["memory" if in_memory else "whole"] or 0 for row in rows}

    assert {} == {
        name: ratio for name, ratio in ratios.items() if not lowest * 0.98 <= ratio <= highest * 1.02
    }


def recorded(cpu: Cpu, in_memory: bool, fmt: Format) -> tuple[float, float]:
    """The ratios recorded for kernels in a format; skips where the cost model has none."""
    model = sf.cost_model(str(cpu.model))
    for compared in model.kernel_comparisons(in_memory):
        if fmt.name in compared.operations:
            return compared.lowest_ratio, compared.highest_ratio
    pytest.skip(f"the cost model {model.name} records no ratio of kernels in {fmt.name}")
