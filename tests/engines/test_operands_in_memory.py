"""Operands and results in memory: what is loaded and stored is counted, and nothing else changes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.grammar import Step
from softfloat_py.numbers.formats import binary16, binary32, binary128, extended80
from softfloat_py.operations import OPERATIONS, Operation, Result
from tests.engines.running import used

IN_MEMORY = sf.Options(in_memory=True)


def parameter_of(operation: Operation) -> Any:
    """A target or an integer format, where an operation has one."""
    if operation.result is Result.TARGET_NUMBER:
        return binary16
    return IntegerFormat(16) if operation.parameters else None


def loaded(name: str, options: sf.Options) -> list[int]:
    """The widths of the loads in a program, wherever they stand in it."""
    use = used(name, binary32, options, parameter_of(OPERATIONS[name]))
    steps = [s for block in use.program.body.walk() for s in block.statements if isinstance(s, Step)]
    return [step.target.width for step in steps if step.kind.name == "load"]


@pytest.mark.parametrize("name", OPERATIONS)
def test_each_operand_is_loaded_once(name: str) -> None:
    """Every operand that an operation looks at is loaded, once; otherwise none is."""
    operation = OPERATIONS[name]

    assert [] == loaded(name, sf.COMPLETE)
    assert operation.arity == len(loaded(name, IN_MEMORY))


@pytest.mark.parametrize(
    ("fmt", "width"), [(binary16, 16), (binary32, 32), (extended80, 80), (binary128, 128)]
)
def test_an_addition_has_two_loads_and_a_store(fmt: sf.Format, width: int) -> None:
    """On numbers and on arrays, each addition loads two operands and stores its result."""
    heights = fmt.array(np.arange(200) / 8)
    with sf.environment(options=IN_MEMORY), sf.counting() as tally:
        heights + heights[::-1]
        fmt(1.5) + fmt(0.25)
    memory = {step: n for step, n in tally.steps.items() if step[0] in ("load", "store")}

    assert {("load", width): 2 * 201, ("store", width): 201} == memory


def test_a_comparison_stores_nothing() -> None:
    """The outcome of a comparison is for a branch: two loads, no store."""
    with sf.environment(options=IN_MEMORY), sf.counting() as tally:
        assert sf.binary32(1.5) > sf.binary32(0.25)

    assert 2 == tally.steps["load", 32]
    assert ("store", 32) not in tally.steps


def test_memory_has_its_price() -> None:
    """On a Cortex-M0+ a load and a store take 2 cycles each (Arm DDI0484C, Table 3.1): 6 for an addition."""
    estimates = []
    for options in (sf.COMPLETE, IN_MEMORY):
        with sf.environment(options=options), sf.counting() as tally:
            sf.binary32(1.5) + sf.binary32(0.25)
        estimates.append(tally.estimate("cortex-m0plus").by_step)
    without, within = estimates

    assert {"load": 4, "store": 2} == {kind: within[kind] for kind in ("load", "store")}
    assert "load" not in without
