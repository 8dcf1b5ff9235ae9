"""RISC-V cores at zero wait states. Instructions are priced as the Ibex user manual has its small
configuration ("Pipeline Details" and "Instruction Decode and Execute"), with multiplier or without; and as
measured on a CH32V003, an RV32EC (jnk0le/random, ch32v003_(qkv2).md), whose jumps take 3 cycles.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from tests.on_target.images import START, Toolchain
from tests.on_target.unicorn_cores import END, STACK, UnicornCore


def by_clang(gcc: Toolchain) -> Toolchain:
    """Clang for the core of another toolchain, which links."""
    options = (*gcc.options, "--target=riscv32-unknown-elf", "-ffreestanding")
    return replace(gcc, compiler="clang", options=options, package="clang", linker=gcc)


WITH_MULTIPLIER = Toolchain(
    word=32,
    multiplier=32,
    compiler="riscv64-unknown-elf-gcc",
    options=("-O2", "-std=c99", "-march=rv32imc", "-mabi=ilp32"),
    package="gcc-riscv64-unknown-elf",
    link=("-ffreestanding", "-nostdlib", f"-Wl,-Ttext={START:#x}", "-lgcc"),
)
WITHOUT_MULTIPLIER = replace(
    WITH_MULTIPLIER, multiplier=0, options=("-O2", "-std=c99", "-march=rv32ic", "-mabi=ilp32")
)
WITH_FEW_REGISTERS = replace(
    WITH_MULTIPLIER, multiplier=0, options=("-O2", "-std=c99", "-march=rv32ec", "-mabi=ilp32e")
)
WITH_MULTIPLIER_BY_CLANG = by_clang(WITH_MULTIPLIER)
WITHOUT_MULTIPLIER_BY_CLANG = by_clang(WITHOUT_MULTIPLIER)
LOADS_AND_STORES = ("lw", "lh", "lhu", "lb", "lbu", "lwsp", "sw", "sh", "sb", "swsp")
JUMPS = ("j", "jal", "jr", "jalr", "ret")
BRANCHES = ("beq", "bne", "blt", "bge", "bltu", "bgeu", "beqz", "bnez", "blez", "bgez", "bltz", "bgtz")
PRODUCTS = {"mul": 3, "mulh": 4, "mulhu": 4, "mulhsu": 4, "div": 37, "divu": 37, "rem": 37, "remu": 37}


class RiscV32(UnicornCore):
    """A 32-bit RISC-V core under unicorn."""

    jump = 2

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        unicorn, capstone = self.unicorn, self.capstone
        modes = (
            capstone.CS_MODE_RISCV32
            | getattr(capstone, "CS_MODE_RISCVC", 0)
            | getattr(capstone, "CS_MODE_RISCV_C", 0)
        )
        return unicorn.Uc(unicorn.UC_ARCH_RISCV, unicorn.UC_MODE_RISCV32), capstone.Cs(
            capstone.CS_ARCH_RISCV, modes
        )

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """Cycles of an instruction, and what more a branch costs when it is taken."""
        name = instruction.mnemonic.removeprefix("c.")
        if name in BRANCHES:
            return 1, 2
        if name in JUMPS:
            return self.jump, 0
        if name in LOADS_AND_STORES:
            return 2, 0
        return PRODUCTS.get(name, 1), 0

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Arguments in a0 to a3, results in a0 and a1."""
        riscv = self.unicorn.riscv_const
        registers = (
            riscv.UC_RISCV_REG_A0,
            riscv.UC_RISCV_REG_A1,
            riscv.UC_RISCV_REG_A2,
            riscv.UC_RISCV_REG_A3,
        )
        for register, word in zip(registers, words, strict=False):
            self.core.reg_write(register, word)
        self.core.reg_write(riscv.UC_RISCV_REG_SP, STACK - 64)
        self.core.reg_write(riscv.UC_RISCV_REG_RA, END)
        self.core.emu_start(address, END)
        return self.core.reg_read(registers[0]), self.core.reg_read(registers[1])


class Ch32V003(RiscV32):
    """The core of a CH32V003."""

    jump = 3
