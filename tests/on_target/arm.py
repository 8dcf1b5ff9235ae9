"""What cores of Arm have in common: compilers, calls, and what of an instruction their prices ask."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from tests.on_target.images import START, Toolchain
from tests.on_target.unicorn_cores import END, STACK, UnicornCore


def by_gcc(core: str, instructions: str, multiplier: int) -> Toolchain:
    """GCC for a core, with -mthumb or -marm."""
    return Toolchain(
        word=32,
        multiplier=multiplier,
        compiler="arm-none-eabi-gcc",
        options=("-O2", "-std=c99", f"-mcpu={core}", instructions, "-mfloat-abi=soft"),
        package="gcc-arm-none-eabi",
        link=("-ffreestanding", "-nostdlib", f"-Wl,-Ttext={START:#x}", "-lgcc"),
    )


def by_clang(gcc: Toolchain, architecture: str) -> Toolchain:
    """Clang for the core of another toolchain, which links."""
    options = (f"--target={architecture}-none-eabi", "-ffreestanding")
    return replace(gcc, compiler="clang", options=(*gcc.options, *options), package="clang", linker=gcc)


JUMPS = ("b", "bx", "blx", "cbz", "cbnz")
SEVERAL = ("push", "pop", "ldm", "stm")  # how transfers of several registers begin


class Arm(UnicornCore):
    """A core of Arm; `thumb` is 1 if it runs Thumb instructions."""

    thumb = 1

    @property
    def arm(self) -> Any:
        """The disassembler's names of an Arm."""
        return self.capstone.arm

    def conditional(self, instruction: Any) -> bool:
        """Whether the instruction has a condition."""
        return instruction.cc not in (self.arm.ARM_CC_INVALID, self.arm.ARM_CC_AL)

    def jumps(self, instruction: Any) -> bool:
        """Whether the instruction writes the PC."""
        return name_of(instruction) in JUMPS or self.arm.ARM_REG_PC in instruction.regs_access()[1]

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Arguments in r0 to r3 and on the stack, results in r0 and r1."""
        arm = self.unicorn.arm_const
        for register, word in zip(
            (arm.UC_ARM_REG_R0, arm.UC_ARM_REG_R1, arm.UC_ARM_REG_R2, arm.UC_ARM_REG_R3), words, strict=False
        ):
            self.core.reg_write(register, word)
        self.core.reg_write(arm.UC_ARM_REG_SP, STACK - 64)
        self.put_words(STACK - 64, words[4:])
        self.core.reg_write(arm.UC_ARM_REG_LR, END | self.thumb)
        self.core.emu_start(address | self.thumb, END)
        return self.core.reg_read(arm.UC_ARM_REG_R0), self.core.reg_read(arm.UC_ARM_REG_R1)


def name_of(instruction: Any) -> str:
    """The name of an instruction without its condition and width."""
    return str(instruction.insn_name())


def registers_in_list(instruction: Any) -> int:
    """How many registers a transfer of several names, each by itself."""
    return str(instruction.op_str).partition("{")[2].count(",") + 1
