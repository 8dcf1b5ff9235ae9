"""The CPUs that emitted C is run on: how it is compiled, what simulates it, which cost model prices it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from tests.on_target import avr, cortex_m, mc68000, rv32, z80_cpu
from tests.on_target.images import Image, Toolchain


class Simulator(Protocol):
    """A CPU with a program in its memory."""

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return, the return included."""


@dataclass(frozen=True)
class Cpu:
    """A CPU by its own name; `model` is the name of its cost model, if there is one.

    `bracket` says what stands for the ranges that its manual gives, where cycles cannot be had to the cycle.
    """

    name: str
    model: str | None
    toolchain: Toolchain
    simulator: Callable[[Image], Simulator]
    bracket: str = ""


CPUS = (
    Cpu("Cortex-M0+", "cortex-m0plus", cortex_m.toolchain("cortex-m0plus", 16), cortex_m.CortexM0Plus),
    Cpu("Cortex-M0", "cortex-m0", cortex_m.toolchain("cortex-m0", 16), cortex_m.CortexM0),
    Cpu(
        "Cortex-M3", "cortex-m3", cortex_m.toolchain("cortex-m3", 32), cortex_m.CortexM3, cortex_m.BRACKET_M3
    ),
    Cpu("Cortex-M4", "cortex-m4", cortex_m.toolchain("cortex-m4", 32), cortex_m.CortexM4, cortex_m.BRACKET),
    Cpu("Cortex-M23", "cortex-m23", cortex_m.toolchain("cortex-m23", 16), cortex_m.CortexM23),
    Cpu("RV32IMC", "rv32imc-ibex", rv32.WITH_MULTIPLIER, rv32.RiscV32),
    Cpu("RV32IC", "rv32ic-ibex", rv32.WITHOUT_MULTIPLIER, rv32.RiscV32),
    Cpu("RV32EC", "rv32ec-qingke", rv32.WITH_FEW_REGISTERS, rv32.Ch32V003),
    Cpu("ATmega328P", "atmega", avr.ATMEGA, avr.Atmega328P),
    Cpu("ATtiny85", "attiny", avr.ATTINY, avr.Attiny85),
    Cpu("MC68000", "mc68000", mc68000.TOOLCHAIN, mc68000.Mc68000),
    Cpu("Z80", "z80", z80_cpu.TOOLCHAIN, z80_cpu.Z80),
)

# For what an ATmega328P has too little flash for: the core is the same.
LARGE_ATMEGA = Cpu("ATmega1284P", "atmega", avr.LARGE_ATMEGA, avr.Atmega1284P)
