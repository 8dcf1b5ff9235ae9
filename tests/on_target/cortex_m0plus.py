"""A Cortex-M0+: instructions priced by the Technical Reference Manual (Arm DDI0484C, table 3.1), with zero
wait states and the single-cycle multiplier.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tests.on_target.images import START, Toolchain
from tests.on_target.unicorn_cores import END, STACK, UnicornCore

TOOLCHAIN = Toolchain(
    word=32,
    multiplier=16,
    compiler="arm-none-eabi-gcc",
    options=("-O2", "-std=c99", "-mcpu=cortex-m0plus", "-mthumb"),
    package="gcc-arm-none-eabi",
    link=("-ffreestanding", "-nostdlib", f"-Wl,-Ttext={START:#x}", "-lgcc"),
)
TRANSFERS = {"push": 1, "pop": 1, "ldm": 1, "stm": 1, "stmdb": 1}


class CortexM0Plus(UnicornCore):
    """A Cortex-M0+ under unicorn."""

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        unicorn, capstone = self.unicorn, self.capstone
        core = unicorn.Uc(unicorn.UC_ARCH_ARM, unicorn.UC_MODE_THUMB | unicorn.UC_MODE_MCLASS)
        core.ctl_set_cpu_model(unicorn.arm_const.UC_CPU_ARM_CORTEX_M0)
        return core, capstone.Cs(capstone.CS_ARCH_ARM, capstone.CS_MODE_THUMB | capstone.CS_MODE_MCLASS)

    def price(self, instruction: Any) -> tuple[int, int]:
        """Cycles of an instruction, and what more a branch costs when it is taken."""
        name = instruction.mnemonic.split(".")[0]
        if name in TRANSFERS or name.startswith(("ldm", "stm")):
            registers = instruction.op_str[instruction.op_str.index("{") :]
            count = registers.count(",") + 1
            return (3 + count - 1 if "pc" in registers else 1 + count), 0
        if name.startswith(("ldr", "str")):
            return 2, 0
        if name in ("bl", "blx"):
            return (3 if name == "bl" else 2), 0
        if name in ("b", "bx") or (name.startswith("mov") and instruction.op_str.startswith("pc")):
            return 2, 0
        if name.startswith("b") and name not in ("bics", "bic", "bkpt"):
            return 1, 1
        return 1, 0

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Arguments in r0 to r3, results in r0 and r1."""
        arm = self.unicorn.arm_const
        for register, word in zip(
            (arm.UC_ARM_REG_R0, arm.UC_ARM_REG_R1, arm.UC_ARM_REG_R2, arm.UC_ARM_REG_R3), words, strict=False
        ):
            self.core.reg_write(register, word)
        self.core.reg_write(arm.UC_ARM_REG_SP, STACK - 64)
        self.core.reg_write(arm.UC_ARM_REG_LR, END | 1)
        self.core.emu_start(address | 1, END)
        return self.core.reg_read(arm.UC_ARM_REG_R0), self.core.reg_read(arm.UC_ARM_REG_R1)
