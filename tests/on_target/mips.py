"""MIPS cores at zero wait states, by figures recalled of the R3000's hardware manual and of the data sheets
of PIC32MX, whose core is an M4K. An instruction takes 1 cycle, one in a delay slot too, whether a branch
is taken or not.

- R3000: a product can be read 12 cycles after its instruction began, a quotient 35. A word that is loaded
  cannot be used next, and the compiler sees to it.
- M4K: a product can be read after 2, a quotient after 33, a product that goes to a register be used after 3.
  An instruction that uses a loaded word next waits for it.

A product that one block of instructions leaves to the next is not waited for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, ClassVar

from tests.on_target.images import START, Toolchain
from tests.on_target.unicorn_cores import END, STACK, UnicornCore

R3000 = Toolchain(
    word=32,
    multiplier=32,
    compiler="mipsel-linux-gnu-gcc",
    options=("-O2", "-std=c99", "-march=r3000", "-msoft-float", "-mno-abicalls", "-fno-pic", "-G0"),
    package="gcc-mipsel-linux-gnu",
    link=("-ffreestanding", "-static", "-nostdlib", f"-Wl,-Ttext-segment={START:#x}"),
)
M4K = replace(
    R3000, options=tuple("-march=m4k" if each == "-march=r3000" else each for each in R3000.options)
)
M4K_BY_CLANG = replace(
    M4K,
    compiler="clang",
    options=("-O2", "-std=c99", "--target=mipsel-unknown-elf", "-march=mips32r2", *M4K.options[-4:]),
    package="clang",
    linker=M4K,
)
PRODUCTS = ("mult", "multu", "madd", "maddu", "msub", "msubu")
QUOTIENTS = ("div", "divu")
LOADS = ("lw", "lh", "lhu", "lb", "lbu")


class Mips(UnicornCore):
    """A MIPS core under unicorn, the lower byte first."""

    # After how many cycles a result of an instruction can be used, where not in the next.
    latencies: ClassVar[Mapping[str, int]]

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        unicorn, capstone = self.unicorn, self.capstone
        modes = capstone.CS_MODE_MIPS32 | capstone.CS_MODE_LITTLE_ENDIAN
        return unicorn.Uc(unicorn.UC_ARCH_MIPS, unicorn.UC_MODE_MIPS32), capstone.Cs(
            capstone.CS_ARCH_MIPS, modes
        )

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """One cycle."""
        return 1, 0

    def wait(self, instruction: Any) -> tuple[Sequence[str], int]:
        """What asks the multiplier waits for it, what uses another result by its register."""
        name = instruction.mnemonic
        later = self.latencies.get(name, 1) - 1
        if name in (*PRODUCTS, *QUOTIENTS):
            return ("mflo", "mfhi", *PRODUCTS, *QUOTIENTS), later
        return (instruction.op_str.split(",")[0].removeprefix("$"),), later

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Arguments in a0 to a3 and on the stack, above room for those four; results in v0 and v1."""
        mips = self.unicorn.mips_const
        registers = (mips.UC_MIPS_REG_A0, mips.UC_MIPS_REG_A1, mips.UC_MIPS_REG_A2, mips.UC_MIPS_REG_A3)
        for register, word in zip(registers, words, strict=False):
            self.core.reg_write(register, word)
        self.core.reg_write(mips.UC_MIPS_REG_SP, STACK - 64)
        self.put_words(STACK - 64 + 16, words[4:])
        self.core.reg_write(mips.UC_MIPS_REG_RA, END)
        self.core.emu_start(address, END)
        return self.core.reg_read(mips.UC_MIPS_REG_V0), self.core.reg_read(mips.UC_MIPS_REG_V1)


class CoreR3000(Mips):
    """An R3000."""

    latencies = dict.fromkeys(PRODUCTS, 12) | dict.fromkeys(QUOTIENTS, 35)


class CoreM4K(Mips):
    """An M4K."""

    latencies = (
        dict.fromkeys(PRODUCTS, 2) | dict.fromkeys(QUOTIENTS, 33) | dict.fromkeys(LOADS, 2) | {"mul": 3}
    )
