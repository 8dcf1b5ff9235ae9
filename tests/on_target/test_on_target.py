"""Emitted C on the CPUs it is for: exact bits, cycles as far from the prediction as the cost model says."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

import softfloat_py as sf
from softfloat_py.formats import Format, binary32, binary64
from tests.engines.c_cases import corners
from tests.on_target.cpus import CPUS, Cpu
from tests.on_target.measuring import (
    MEASURED_OPERATIONS,
    callers_part,
    expected,
    measured,
    predicted,
    simulator_of,
)
from tests.on_target.operands import operands_of

pytestmark = pytest.mark.on_target
CALLS = 100
SLOW_COMPILERS = {"sdcc": ("addition", "multiplication")}  # for which fewer operations are compiled


def operations_of(cpu: Cpu) -> tuple[str, ...]:
    """The operations that are compiled for a CPU."""
    return SLOW_COMPILERS.get(cpu.toolchain.compiler, MEASURED_OPERATIONS)


CASES = [
    pytest.param(cpu, fmt, operation, id=f"{cpu.name}-{fmt.name}-{operation}")
    for cpu in CPUS
    for fmt in (binary32, binary64)
    for operation in operations_of(cpu)
    if fmt is binary32 or cpu.toolchain.compiler not in SLOW_COMPILERS
]


@pytest.fixture(scope="session")
def simulators(tmp_path_factory: pytest.TempPathFactory):  # type: ignore[no-untyped-def]
    """A function that gives the CPU with an operation compiled for it, once."""
    folder = tmp_path_factory.mktemp("on_target")
    return cache(lambda cpu, operation, fmt: simulator_of(cpu, operation, fmt, folder))


@pytest.mark.parametrize(("cpu", "fmt", "operation"), CASES)
def test_bits_are_exact(cpu: Cpu, fmt: Format, operation: str, simulators) -> None:  # type: ignore[no-untyped-def]
    """On normal operands and corner ones the CPU delivers what the plain engine does."""
    rows = all_rows(operation, fmt)
    results = measured(simulators(cpu, operation, fmt), operation, rows).results

    assert [] == list(rows[results != expected(operation, fmt, rows)])


@pytest.mark.parametrize(("cpu", "fmt", "operation"), CASES)
def test_cycles_are_within_the_band(cpu: Cpu, fmt: Format, operation: str, simulators) -> None:  # type: ignore[no-untyped-def]
    """Measured by predicted cycles lie between the ratios that the cost model records for emitted C."""
    lowest, highest = band(cpu, fmt, operation)
    rows = operands_of(operation, fmt, "near", CALLS)
    cycles = measured(simulators(cpu, operation, fmt), operation, rows).cycles.mean()
    ratio = cycles / predicted(operation, fmt, rows, str(cpu.model)).mean()

    assert lowest * 0.98 <= ratio <= highest * 1.02


@pytest.mark.parametrize(("cpu", "fmt", "operation"), CASES)
def test_every_call_is_within_the_bounds(cpu: Cpu, fmt: Format, operation: str, simulators) -> None:  # type: ignore[no-untyped-def]
    """The bounds of an operation contain each call that was simulated, on normal operands and corner ones."""
    if cpu.model is None:
        pytest.skip(f"there is no cost model of {cpu.name}")
    model = sf.cost_model(cpu.model)
    bounds = sf.bounds(operation, fmt, model, options=sf.LEAN)
    cycles = measured(simulators(cpu, operation, fmt), operation, all_rows(operation, fmt)).cycles
    calls = cycles + callers_part(model)

    assert bounds.best <= calls.min()
    assert calls.max() <= bounds.worst


def all_rows(operation: str, fmt: Format) -> NDArray[np.uint64]:
    """Normal operands of both sets, and corner ones."""
    special = np.array(corners(fmt), dtype=np.uint64)
    arity = operands_of(operation, fmt, "wide", 1).shape[1]
    return np.concatenate(
        [
            operands_of(operation, fmt, "near", CALLS),
            operands_of(operation, fmt, "wide", CALLS),
            np.stack([np.roll(special, 5 * column) for column in range(arity)], axis=1),
        ]
    )


def band(cpu: Cpu, fmt: Format, operation: str) -> tuple[float, float]:
    """The ratios recorded for emitted C in a format; skips where the cost model has none for it."""
    recorded = [] if cpu.model is None else sf.cost_model(cpu.model).compared_with_compiled_code
    for compared in recorded:
        said = compared.operations
        if said.startswith("emitted C") and fmt.name in said and operation in said:
            return compared.lowest_ratio, compared.highest_ratio
    pytest.skip(f"the cost model of {cpu.name} records no ratio for {operation} in emitted C, {fmt.name}")
