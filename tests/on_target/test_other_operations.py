"""Operations beside the five that estimates are compared for: how their arguments and results are handed over
is all their own, and the CPUs deliver the bits of the plain engine.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from softfloat_py.numbers.formats import Format, binary32, binary64
from tests.engines.c_cases import corners, integer_corners
from tests.on_target.asked import use_asked_for
from tests.on_target.cpus import CPUS, Cpu
from tests.on_target.measuring import expected, measured, simulator_of
from tests.on_target.operands import SETS, operands_of

pytestmark = pytest.mark.on_target
CALLS = 50
SLOW = ("Z80", "6502", "8051")  # to compile for or to simulate: they run less
# A truth, arguments beyond the registers, results wider and narrower than operands, integers of both kinds.
OF_SLOW = ("compare_quiet_less", "convert_format_binary16", "convert_format_binary64")
OF_OTHERS = (
    *OF_SLOW,
    "classify",
    "minimum",
    "round_to_integral_ties_to_even",
    "fused_multiply_add",
    "convert_format_binary32",
    "convert_to_integer_int32",
    "convert_to_integer_toward_zero_int64",
    "convert_from_integer_uint32",
    "convert_from_integer_int64",
)
TOO_LARGE = [("ATtiny85", "binary64", "fused_multiply_add")]  # for its flash


def cases() -> Iterator[Any]:
    """Every CPU with what it is handed here."""
    for cpu in CPUS:
        for fmt in (binary32, binary64):
            for operation in OF_SLOW if cpu.name in SLOW else OF_OTHERS:
                use = use_asked_for(operation, fmt)
                fits = max(*use.widths, use.signature.results[0].width) <= cpu.widest
                if fits and (cpu.name, fmt.name, operation) not in TOO_LARGE:
                    yield pytest.param(cpu, fmt, operation, id=f"{cpu.name}-{fmt.name}-{operation}")


@pytest.mark.parametrize(("cpu", "fmt", "operation"), list(cases()))
def test_bits_are_exact(cpu: Cpu, fmt: Format, operation: str, tmp_path: Path) -> None:
    """On ordinary operands and corner ones the CPU delivers what the plain engine does."""
    rows = all_rows(operation, fmt)
    results = measured(simulator_of(cpu, operation, fmt, tmp_path), operation, rows).results

    assert [] == list(rows[results != expected(operation, fmt, rows)])


def all_rows(operation: str, fmt: Format) -> NDArray[np.uint64]:
    """Operands of both sets, and corner ones."""
    use = use_asked_for(operation, fmt)
    integers = use.operation.integer_operands
    special = np.array(integer_corners(use.integer.width) if integers else corners(fmt), dtype=np.uint64)
    columns = [np.roll(special, 5 * column) for column in range(use.operation.arity)]
    ordinary = [operands_of(operation, fmt, which, CALLS) for which in SETS]
    return np.concatenate([*ordinary, np.stack(columns, axis=1)])
