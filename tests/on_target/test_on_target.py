"""Emitted C on the CPUs it is for: exact bits, cycles as far from the prediction as the cost model says."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

import softfloat_py as sf
from softfloat_py.numbers.formats import Format, binary32, binary64
from tests.engines.c_cases import corners
from tests.on_target.cpus import CPUS, Cpu, Simulator
from tests.on_target.measuring import (
    MEASURED_OPERATIONS,
    callers_part,
    expected,
    measured,
    predicted,
    simulator_of,
)
from tests.on_target.operands import SETS, operands_of

pytestmark = pytest.mark.on_target
Simulators = Callable[[Cpu, str, Format], Simulator]
CALLS = 100
SLOW = ("Z80", "6502", "8051", "MSP430")  # to compile for or to simulate: they run less
OPERATIONS_OF_SLOW = ("addition", "multiplication")


def operations_of(cpu: Cpu) -> tuple[str, ...]:
    """The operations that are compiled for a CPU."""
    return OPERATIONS_OF_SLOW if cpu.name in SLOW else MEASURED_OPERATIONS


# How far an estimate may be off, as a share of what compiled code takes, on average over many calls.
ESTIMATES_OFF_BY = {
    "Cortex-M0+": 0.20, "Cortex-M4": 0.20, "RV32IMC": 0.15, "R3000": 0.15, "MC68000": 0.20,
    "ATmega328P": 0.25, "ATtiny85": 0.25, "Z80": 0.30,
}  # fmt: skip
# How well estimates of single calls follow what compiled code takes, as a correlation. Calls of a sum lie
# near each other, so it is less where a compiler lays the exchange of operands the other way round.
TOLD_APART = 0.7


def cases(cpus: Iterable[Cpu]) -> list[Any]:
    """Every format and operation on some CPUs."""
    return [
        pytest.param(cpu, fmt, operation, id=f"{cpu.name}-{fmt.name}-{operation}")
        for cpu in cpus
        for fmt in (binary32, binary64)
        for operation in operations_of(cpu)
        if fmt is binary32 or cpu.name not in SLOW
    ]


CASES = cases(CPUS)


@pytest.fixture(scope="session")
def simulators(tmp_path_factory: pytest.TempPathFactory) -> Simulators:
    """A function that gives the CPU with an operation compiled for it, once."""
    folder = tmp_path_factory.mktemp("on_target")
    return cache(lambda cpu, operation, fmt: simulator_of(cpu, operation, fmt, folder))


@pytest.mark.parametrize(("cpu", "fmt", "operation"), CASES)
def test_bits_are_exact(cpu: Cpu, fmt: Format, operation: str, simulators: Simulators) -> None:
    """On normal operands and corner ones the CPU delivers what the plain engine does."""
    rows = all_rows(operation, fmt)
    results = measured(simulators(cpu, operation, fmt), operation, rows).results

    assert [] == list(rows[results != expected(operation, fmt, rows)])


@pytest.mark.parametrize(("fmt", "operation"), [(binary32, "addition"), (binary64, "multiplication")])
@pytest.mark.parametrize(
    "cpu",
    [
        pytest.param(replace(cpu, toolchain=chain), id=f"{cpu.name}-{chain.name}")
        for cpu in CPUS
        for chain in cpu.toolchains[1:]
    ],
)
def test_bits_by_other_compilers_are_exact(
    cpu: Cpu, fmt: Format, operation: str, simulators: Simulators
) -> None:
    """What a compiler makes that is not the CPU's own delivers the same."""
    rows = all_rows(operation, fmt)
    results = measured(simulators(cpu, operation, fmt), operation, rows).results

    assert [] == list(rows[results != expected(operation, fmt, rows)])


@pytest.mark.parametrize(("cpu", "fmt", "operation"), CASES)
def test_cycles_are_within_the_band(cpu: Cpu, fmt: Format, operation: str, simulators: Simulators) -> None:
    """Measured by predicted cycles lie between the ratios that the cost model records for emitted C."""
    lowest, highest = band(cpu, fmt, operation)
    cycles, estimates = both_sets(cpu, fmt, operation, simulators)
    ratio = cycles.mean() / estimates.mean()

    assert lowest * 0.98 <= ratio <= highest * 1.02


@pytest.mark.parametrize(
    ("cpu", "fmt", "operation"), cases(cpu for cpu in CPUS if cpu.name in ESTIMATES_OFF_BY)
)
def test_estimates_are_no_further_off_than_promised(
    cpu: Cpu, fmt: Format, operation: str, simulators: Simulators
) -> None:
    """Predicted by measured cycles, exponents near each other and far apart taken together."""
    cycles, estimates = both_sets(cpu, fmt, operation, simulators)

    assert estimates.mean() / cycles.mean() == pytest.approx(1, abs=ESTIMATES_OFF_BY[cpu.name])


@pytest.mark.parametrize(("cpu", "fmt", "operation"), cases(cpu for cpu in CPUS if cpu.name == "Cortex-M0+"))
def test_calls_are_told_apart(cpu: Cpu, fmt: Format, operation: str, simulators: Simulators) -> None:
    """Calls of one operation that take longer on a Cortex-M0+ are estimated to take longer."""
    cycles, estimates = both_sets(cpu, fmt, operation, simulators)

    assert TOLD_APART <= np.corrcoef(cycles, estimates)[0, 1]


def both_sets(
    cpu: Cpu, fmt: Format, operation: str, simulators: Simulators
) -> tuple[NDArray[Any], NDArray[Any]]:
    """Measured and predicted cycles of calls, exponents near each other and far apart."""
    rows = np.concatenate([operands_of(operation, fmt, which, CALLS) for which in SETS])
    cycles = measured(simulators(cpu, operation, fmt), operation, rows).cycles
    return cycles, predicted(operation, fmt, rows, cpu.cost_model)


LEAVING_EARLY = ("addition", "subtraction", "multiplication")
LEFT_OF_CYCLES = 0.75  # with a zero among the operands, of the cycles of ordinary ones, at the most


@pytest.mark.parametrize(
    ("cpu", "fmt", "operation"), [case for case in CASES if case.values[2] in LEAVING_EARLY]
)
def test_zero_operands_leave_early(cpu: Cpu, fmt: Format, operation: str, simulators: Simulators) -> None:
    """Emitted C is through with a zero operand, first or second, long before it is with ordinary ones."""
    simulator = simulators(cpu, operation, fmt)
    rows = operands_of(operation, fmt, "near", CALLS)
    ordinary = measured(simulator, operation, rows).cycles.mean()
    for place in range(2):
        with_zero = rows.copy()
        with_zero[:, place] = 0

        assert measured(simulator, operation, with_zero).cycles.max() < LEFT_OF_CYCLES * ordinary


@pytest.mark.parametrize(("cpu", "fmt", "operation"), CASES)
def test_every_call_is_within_the_bounds(
    cpu: Cpu, fmt: Format, operation: str, simulators: Simulators
) -> None:
    """The bounds of an operation contain each call that was simulated, on normal operands and corner ones."""
    band(cpu, fmt, operation)
    model = cpu.cost_model
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
    """The ratios recorded for emitted C in a format by the CPU's compiler; skips where there are none."""
    recorded = cpu.cost_model.compared_with_compiled_code if cpu.model is not None else ()
    by_it = recorded if recorded and cpu.cost_model.compiled_by.id == cpu.toolchain.name else ()
    for compared in by_it:
        said = compared.operations
        if said.startswith("emitted C") and fmt.name in said and operation in said:
            return compared.lowest_ratio, compared.highest_ratio
    what = f"{operation} in emitted C, {fmt.name}, by {cpu.toolchain.name}"
    pytest.skip(f"the cost model of {cpu.name} records no ratio for {what}")
