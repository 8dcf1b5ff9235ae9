"""Division by a divider as C on the CPUs that have one, compiled and run beside division a bit a round."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

import softfloat_py as sf
from softfloat_py.engines import plain
from softfloat_py.numbers.formats import Format, binary32, binary64
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import LEAN, Division
from softfloat_py.uses import use_of
from tests.on_target.cpus import CPUS, Cpu
from tests.on_target.images import compiled

pytestmark = pytest.mark.on_target

CALLS = 40
WITH_DIVIDER = [cpu for cpu in CPUS if cpu.model and sf.cost_model(cpu.model).machine.divisor_bits]
# GCC calls a function where this CPU has an instruction.
BY_A_FUNCTION = ("MC68000",)


def rows(fmt: Format) -> list[tuple[int, int]]:
    """Pairs of normal numbers with exponents within 8 of 0."""
    draw = Random(fmt.name)

    def number() -> int:
        exponent = fmt.bias + draw.randint(-8, 8)
        return exponent << fmt.trailing_bits | draw.getrandbits(fmt.trailing_bits)

    return [(number(), number()) for _ in range(CALLS)]


def cycles_of(cpu: Cpu, fmt: Format, division: Division, folder: Path) -> int:
    """Cycles of all calls, each of which must deliver what the plain engine delivers."""
    options = replace(LEAN, division=division)
    simulator = cpu.simulator(compiled(cpu.toolchain, fmt, options, "division", folder / division.name))
    run = plain.compiled(use_of(OPERATIONS["division"], fmt, options).program).run
    total = 0
    for row in rows(fmt):
        result, cycles = simulator.call("division", row)
        assert run(*row)[0] == result
        total += cycles
    return total


@pytest.mark.parametrize("fmt", [binary32, binary64], ids=lambda fmt: str(fmt.name))
@pytest.mark.parametrize("cpu", WITH_DIVIDER, ids=lambda cpu: cpu.name)
def test_a_divider_saves_cycles(cpu: Cpu, fmt: Format, tmp_path: Path) -> None:
    """Bits are exact, and compiled code takes fewer cycles where compilers use the CPU's instruction."""
    by_divider = cycles_of(cpu, fmt, Division.BY_DIVIDER, tmp_path)
    bit_by_bit = cycles_of(cpu, fmt, Division.RADIX_2, tmp_path)

    assert cpu.name in BY_A_FUNCTION or by_divider < bit_by_bit
