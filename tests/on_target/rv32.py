"""RISC-V cores at zero wait states, without branch prediction. Instructions are priced as

- the Ibex user manual has its small configuration ("Pipeline Details" and "Instruction Decode and Execute"),
  with multiplier or without;
- measured on a CH32V003, an RV32EC (jnk0le/random, ch32v003_(qkv2).md), whose jumps take 3 cycles;
- the documentation of the Hazard3 has them ("Instruction timings");
- recalled of the ESP32-C3: see costmodels/esp32-c3.toml;
- the README of the PicoRV32 has them ("Cycles per Instruction Performance"), a division from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
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
WITHOUT_SHORT_ONES = replace(WITH_MULTIPLIER, options=("-O2", "-std=c99", "-march=rv32im", "-mabi=ilp32"))
WITH_MULTIPLIER_BY_CLANG = by_clang(WITH_MULTIPLIER)
WITHOUT_MULTIPLIER_BY_CLANG = by_clang(WITHOUT_MULTIPLIER)
WITHOUT_SHORT_ONES_BY_CLANG = by_clang(WITHOUT_SHORT_ONES)
LOADS = ("lw", "lh", "lhu", "lb", "lbu", "lwsp")
STORES = ("sw", "sh", "sb", "swsp")
BRANCHES = ("beq", "bne", "blt", "bge", "bltu", "bgeu", "beqz", "bnez", "blez", "bgez", "bltz", "bgtz")
PRODUCTS, HIGH_PRODUCTS = ("mul",), ("mulh", "mulhu", "mulhsu")
QUOTIENTS = ("div", "divu", "rem", "remu")
SHIFTS = ("sll", "srl", "sra", "slli", "srli", "srai")


@dataclass(frozen=True)
class Prices:
    """Cycles of a core's instructions; `used_next` is what more a load takes whose word the next one uses."""

    step: int = 1
    not_taken: int = 1
    taken: int = 3
    jump: int = 2
    jump_to_register: int = 2
    load: int = 2
    store: int = 2
    used_next: int = 0
    product: int = 3
    high_product: int = 4
    quotient: int = 38


class RiscV32(UnicornCore):
    """A 32-bit RISC-V core under unicorn: an Ibex."""

    prices = Prices()
    arguments_in_registers = 8

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
        name, prices = name_of(instruction), self.prices
        if name in BRANCHES:
            return prices.not_taken, prices.taken - prices.not_taken
        for names, cycles in (
            (("j", "jal"), prices.jump),
            (("jr", "jalr", "ret"), prices.jump_to_register),
            (LOADS, prices.load),
            (STORES, prices.store),
            (PRODUCTS, prices.product),
            (HIGH_PRODUCTS, prices.high_product),
            (QUOTIENTS, prices.quotient),
        ):
            if name in names:
                return cycles, 0
        return prices.step, 0

    def wait(self, instruction: Any) -> tuple[Sequence[str], int]:
        """Who uses a word that was loaded may wait for it."""
        if name_of(instruction) in LOADS:
            return (instruction.op_str.split(",")[0],), self.prices.used_next
        return (), 0

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Arguments in a0 to a7, or to a5 and on the stack where there are but 16 registers; results in a0
        and a1.
        """
        riscv = self.unicorn.riscv_const
        registers = [riscv.UC_RISCV_REG_A0 + index for index in range(self.arguments_in_registers)]
        for register, word in zip(registers, words, strict=False):
            self.core.reg_write(register, word)
        self.core.reg_write(riscv.UC_RISCV_REG_GP, self.image.functions.get("__global_pointer$", 0))
        self.core.reg_write(riscv.UC_RISCV_REG_SP, STACK - 64)
        self.put_words(STACK - 64, words[len(registers) :])
        self.core.reg_write(riscv.UC_RISCV_REG_RA, END)
        self.core.emu_start(address, END)
        return self.core.reg_read(registers[0]), self.core.reg_read(registers[1])


class Ch32V003(RiscV32):
    """The core of a CH32V003."""

    arguments_in_registers = 6
    prices = replace(RiscV32.prices, jump=3, jump_to_register=3)


class Hazard3(RiscV32):
    """A Hazard3 with its fast multiplier, without branch prediction."""

    prices = Prices(taken=2, load=1, store=1, used_next=1, product=1, high_product=1, quotient=18)


class Esp32C3(RiscV32):
    """The core of an ESP32-C3."""

    prices = Prices(
        jump=3, jump_to_register=3, load=1, store=1, used_next=1, product=1, high_product=1, quotient=35
    )


class PicoRV32(RiscV32):
    """A PicoRV32 with two register ports, which shifts by four places at a time and then by one."""

    depends_on_operands = True
    prices = Prices(
        step=3,
        not_taken=3,
        taken=5,
        jump=3,
        jump_to_register=6,
        load=5,
        store=5,
        product=40,
        high_product=72,
        quotient=40,
    )

    def by_operands(self, instruction: Any) -> Callable[[], int] | None:
        """A shift takes 1 more, and 1 for each of its moves."""
        if name_of(instruction) not in SHIFTS:
            return None
        by = instruction.op_str.split(", ")[-1]
        if by[0].isdigit():
            return lambda: 1 + moves(int(by, 0))
        register = getattr(self.unicorn.riscv_const, f"UC_RISCV_REG_{by.upper()}")
        return lambda: 1 + moves(self.core.reg_read(register) & 31)


def moves(places: int) -> int:
    """How often a word is moved by four places or by one."""
    return places // 4 + places % 4


def name_of(instruction: Any) -> str:
    """The name of an instruction, short or not."""
    return str(instruction.mnemonic).removeprefix("c.")
