"""Elementary functions as C on the CPUs it is for: exact bits, cycles as far from the estimate as recorded.

An ATmega1284P stands for the ATmega328P, whose flash is too small for sin and atan; the others of `CPUS` have
the compiler and the kind of core of one of these, or take minutes to compile a function.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.numbers.formats import binary32
from tests.engines.c_cases import corners
from tests.on_target.cpus import CPUS, LARGE_ATMEGA, Cpu
from tests.on_target.measuring import (
    Measured,
    callers_part,
    expected,
    measured,
    predicted,
    simulator_of,
)
from tests.on_target.operands import SETS, operands_of

pytestmark = pytest.mark.on_target
Runs = Callable[[Cpu, str], Measured]
FUNCTIONS = ("exp", "log", "sin", "atan")
CALLS = 60  # of each set of operands, before the corner ones
NAMED = ("Cortex-M0+", "RV32IMC", "MC68000")
CASES = [
    pytest.param(cpu, function, id=f"{cpu.name}-{function}")
    for cpu in (*(cpu for cpu in CPUS if cpu.name in NAMED), LARGE_ATMEGA)
    for function in FUNCTIONS
]


@pytest.fixture(scope="session")
def runs(tmp_path_factory: pytest.TempPathFactory) -> Runs:
    """A function that gives what all calls of a function on a CPU delivered and took; each is run once."""
    folder = tmp_path_factory.mktemp("functions_on_target")

    def run(cpu: Cpu, function: str) -> Measured:
        normal = [operands_of(function, binary32, which, CALLS) for which in SETS]
        rows = np.concatenate([*normal, np.array(corners(binary32), dtype=np.uint64)[:, np.newaxis]])
        return measured(simulator_of(cpu, function, binary32, folder), function, rows)

    return cache(run)


@pytest.mark.parametrize(("cpu", "function"), CASES)
def test_bits_of_functions_are_exact(cpu: Cpu, function: str, runs: Runs) -> None:
    """On normal operands and corner ones the CPU delivers what the plain engine does."""
    run = runs(cpu, function)

    assert [] == list(run.operands[run.results != expected(function, binary32, run.operands)])


@pytest.mark.parametrize(("cpu", "function"), CASES)
def test_cycles_of_functions_are_within_the_band(cpu: Cpu, function: str, runs: Runs) -> None:
    """Measured by predicted cycles lie between the ratios that the cost model records for functions."""
    lowest, highest = band(cpu, function)
    run, normal = runs(cpu, function), len(SETS) * CALLS
    estimates = predicted(function, binary32, run.operands[:normal], cpu.cost_model)
    ratio = run.cycles[:normal].mean() / estimates.mean()

    assert lowest <= round(ratio, 2) <= highest


# Extremes over all ways through both phases take seconds to find: those of one function stand for all.
@pytest.mark.parametrize(("cpu", "function"), [case for case in CASES if case.values[1] == "exp"])
def test_every_call_of_a_function_is_within_the_bounds(cpu: Cpu, function: str, runs: Runs) -> None:
    """The bounds of a function contain each call that was simulated."""
    bounds = sf.bounds(function, binary32, cpu.cost_model, options=sf.LEAN)
    calls = runs(cpu, function).cycles + callers_part(bounds.cpu)

    assert bounds.best <= calls.min()
    assert calls.max() <= bounds.worst


def band(cpu: Cpu, function: str) -> tuple[float, float]:
    """The ratios recorded for a function in binary32."""
    for compared in cpu.cost_model.comparisons(elementary=True):
        if {function, "binary32"} <= set(re.findall(r"\w+", compared.operations)):
            return compared.lowest_ratio, compared.highest_ratio
    raise AssertionError(f"the cost model of {cpu.name} records no ratio for {function} in binary32")
