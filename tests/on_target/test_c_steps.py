"""Cycles of single operations as compilers make them, beside sums of the manuals' cycles."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.on_target.c_steps import EVERY_CPU, Compiler

pytestmark = pytest.mark.on_target
OF_A_JUMP = 1  # cycles, or fewer, that a figure may hold of what stands around six statements

# What is between variables of 8 and 16 bits at addresses of their own, or in registers and direct memory.
BY_HAND = [
    ("6502, static locals", "{x} & {y}", 8, 12),  # LDA 4, AND 4, STA 4
    ("6502, static locals", "{x} + {y}", 8, 14),  # CLC 2, LDA 4, ADC 4, STA 4
    ("6502, static locals", "{x} + {y}", 16, 26),  # CLC 2, twice LDA 4, ADC 4, STA 4
    ("8051", "{x} & {y}", 8, 36),  # MOV A 12, ANL 12, MOV from A 12
    ("8051", "{x} - {y}", 8, 48),  # MOV A 12, CLR C 12, SUBB 12, MOV from A 12
    ("8051", "{x} + {y}", 16, 72),  # MOV A 12, ADD 12, MOV 12; MOV A 12, ADDC 12, MOV 12
]


@pytest.mark.parametrize(("name", "expression", "width", "cycles"), BY_HAND)
def test_figures_are_the_sums_of_the_manual(
    name: str, expression: str, width: int, cycles: int, tmp_path: Path
) -> None:
    """Where a compiler does the obvious, its figure is the sum of the instructions' cycles."""
    cpu = next(cpu for cpu in EVERY_CPU if cpu.name == name)

    assert cycles == pytest.approx(Compiler(cpu, tmp_path).of_values(expression, width), abs=OF_A_JUMP)


@pytest.mark.parametrize("taken", [False, True])
def test_a_branch_of_an_8051_takes_as_long_either_way(taken: bool, tmp_path: Path) -> None:
    """What stands behind a condition is not in the figure: MOV A 12, JZ 24, whether it jumps or not."""
    cpu = next(cpu for cpu in EVERY_CPU if cpu.name == "8051")

    assert 36 == pytest.approx(Compiler(cpu, tmp_path).branch(taken), abs=OF_A_JUMP)
