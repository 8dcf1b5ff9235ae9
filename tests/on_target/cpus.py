"""The CPUs that emitted C is run on: how it is compiled, what simulates it, which cost model prices it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import softfloat_py as sf
from softfloat_py.pricing.cost_model import CostModel
from tests.on_target import (
    arm7tdmi,
    avr,
    i386,
    lx106,
    mc68000,
    mc68020,
    mcs51,
    mips,
    mos6502,
    msp430,
    rv32,
    z80_cpu,
)
from tests.on_target import cortex_m as cm
from tests.on_target.images import Image, Toolchain


class Simulator(Protocol):
    """A CPU with a program in its memory."""

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return, the return included."""


@dataclass(frozen=True)
class Cpu:
    """A CPU by its own name; `model` is the name of its cost model, if there is one.

    `others` are compilers that may stand in place of its own. `bracket` says what stands for ranges in its
    manual, where cycles cannot be had to the cycle. Values of more than `widest` bits it is not
    handed here. `priced_by` stands in place of the committed table.
    """

    name: str
    model: str | None
    toolchain: Toolchain
    simulator: Callable[[Image], Simulator]
    others: tuple[Toolchain, ...] = ()
    bracket: str = ""
    widest: int = 64
    priced_by: CostModel | None = None

    @property
    def cost_model(self) -> CostModel:
        """What prices code of its compiler, or of the table's own, where that one is not described."""
        if self.priced_by is not None:
            return self.priced_by
        assert self.model is not None, f"there is no cost model of {self.name}"
        model = sf.cost_model(self.model)
        return model.described.get(self.toolchain.name, model)

    @property
    def toolchains(self) -> tuple[Toolchain, ...]:
        """Its own, and the others; GCC makes small code too."""
        chains = (self.toolchain, *self.others)
        return (*chains, *(chain.at("-Os") for chain in chains if chain.name == "gcc-O2"))

    def compiled_by(self, compiler: str) -> Cpu | None:
        """The CPU with a compiler of that name; None where it has none."""
        found = [chain for chain in self.toolchains if chain.name == compiler]
        return replace(self, toolchain=found[0]) if found else None


CPUS = (
    Cpu("Cortex-M0+", "cortex-m0plus", cm.M0_PLUS, cm.CortexM0Plus, (cm.M0_PLUS_BY_CLANG,)),
    Cpu("Cortex-M0", "cortex-m0", cm.M0, cm.CortexM0, (cm.M0_BY_CLANG,)),
    Cpu("Cortex-M3", "cortex-m3", cm.M3, cm.CortexM3, (cm.M3_BY_CLANG,), cm.BRACKET_M3),
    Cpu("Cortex-M4", "cortex-m4", cm.M4, cm.CortexM4, (cm.M4_BY_CLANG,), cm.BRACKET),
    Cpu("Cortex-M23", "cortex-m23", cm.M23, cm.CortexM23, (cm.M23_BY_CLANG,)),
    Cpu("Cortex-M33", "cortex-m33", cm.M33, cm.CortexM33, (cm.M33_BY_CLANG,), cm.BRACKET_M33),
    Cpu("ARM7TDMI", "arm7tdmi", arm7tdmi.GCC, arm7tdmi.Arm7Tdmi, (arm7tdmi.CLANG,)),
    Cpu("RV32IMC", "rv32imc-ibex", rv32.WITH_MULTIPLIER, rv32.RiscV32, (rv32.WITH_MULTIPLIER_BY_CLANG,)),
    Cpu("Hazard3", "rv32imc-hazard3", rv32.WITH_MULTIPLIER, rv32.Hazard3, (rv32.WITH_MULTIPLIER_BY_CLANG,)),
    Cpu("ESP32-C3", "esp32-c3", rv32.WITH_MULTIPLIER, rv32.Esp32C3, (rv32.WITH_MULTIPLIER_BY_CLANG,)),
    Cpu("PicoRV32", "picorv32", rv32.WITHOUT_SHORT_ONES, rv32.PicoRV32, (rv32.WITHOUT_SHORT_ONES_BY_CLANG,)),
    Cpu("RV32IC", "rv32ic-ibex", rv32.WITHOUT_MULTIPLIER, rv32.RiscV32, (rv32.WITHOUT_MULTIPLIER_BY_CLANG,)),
    Cpu("RV32EC", "rv32ec-qingke", rv32.WITH_FEW_REGISTERS, rv32.Ch32V003),
    Cpu("ATmega328P", "atmega", avr.ATMEGA, avr.Atmega328P),
    Cpu("ATtiny85", "attiny", avr.ATTINY, avr.Attiny85),
    Cpu("MC68000", "mc68000", mc68000.TOOLCHAIN, mc68000.Mc68000),
    Cpu("R3000", "r3000", mips.R3000, mips.CoreR3000),
    Cpu("M4K", "m4k", mips.M4K, mips.CoreM4K, (mips.M4K_BY_CLANG,)),
    Cpu("MC68020", "mc68020", mc68020.GCC, mc68020.Mc68020),
    Cpu("80386", "80386", i386.GCC, i386.I386, (i386.CLANG,)),
    Cpu("LX106", "lx106", lx106.GCC, lx106.Lx106, bracket=lx106.BRACKET),
    Cpu("Z80", "z80", z80_cpu.TOOLCHAIN, z80_cpu.Z80),
    Cpu("6502", "6502", mos6502.TOOLCHAIN, mos6502.Mos6502, widest=32),
    Cpu("8051", "8051", mcs51.SMALL, mcs51.Mcs51, widest=32),
    Cpu("MSP430", "msp430", msp430.CLANG, msp430.Msp430),
)

# For what an ATmega328P has too little flash for: the core is the same.
LARGE_ATMEGA = Cpu("ATmega1284P", "atmega", avr.LARGE_ATMEGA, avr.Atmega1284P)

# Where variables have other places than a stack on the 6502 and internal memory on the 8051.
OTHER_PLACES = (
    Cpu("6502, static locals", "6502", mos6502.WITH_STATIC_LOCALS, mos6502.Mos6502, widest=32),
    Cpu("8051, external memory", "8051", mcs51.LARGE, mcs51.Mcs51WithExternalMemory, widest=32),
)
