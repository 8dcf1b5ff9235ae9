"""Whole kernels in C on the CPUs they are for: exact bits, and cycles that are those of their parts."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from softfloat_py.numbers.formats import Format, binary32, binary64
from tests.on_target.cpus import CPUS
from tests.on_target.kernels.pairs import NAMES, python_run
from tests.on_target.kernels.running import Bench, Measured

pytestmark = pytest.mark.on_target
Runs = Callable[[str, Format, str], Measured]
# One CPU of each way to pass numbers, and of each way to link and to start; the report has them all.
CASES: list[Any] = [
    pytest.param(cpu, fmt, name, id=f"{cpu}-{fmt.name}-{name}")
    for cpu, fmt in [
        ("Cortex-M0+", binary32),
        ("RV32IMC", binary64),
        ("ATmega328P", binary64),
        ("MC68000", binary32),
    ]
    for name in NAMES
]


@pytest.fixture(scope="session")
def runs(tmp_path_factory: pytest.TempPathFactory) -> Runs:
    """A function that runs a kernel on a CPU in a format; the emitted functions are compiled once, and each
    kernel is run once.
    """

    @cache
    def bench(cpu: str, fmt: Format) -> Bench:
        (found,) = (each for each in CPUS if each.name == cpu)
        return Bench(found, fmt, tmp_path_factory.mktemp("kernels"))

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
