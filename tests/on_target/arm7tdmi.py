"""An ARM7TDMI in ARM state at zero wait states, by the instruction cycle times of its Technical Reference
Manual (Arm DDI0210, chapter 6; from memory): every cycle is one of the clock, whether sequential,
non-sequential or internal.

A shift by a register takes 1 more; a load 3, a store 2, n words n + 2 and n + 1; a branch 3; what writes the
PC 2 more. A product takes 1 and one for each byte of the multiplier up to its highest bit, 1 more if it is
long, 1 more if it accumulates. What a condition skips takes 1.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.on_target.arm import SEVERAL, Arm, by_clang, by_gcc, name_of, registers_in_list

GCC = by_gcc("arm7tdmi", "-marm", 32)
CLANG = by_clang(GCC, "armv4t")
PRODUCTS = {
    "mul": 0,
    "mla": 1,
    "umull": 1,
    "smull": 1,
    "umlal": 2,
    "smlal": 2,
}  # beside the multiplier's bytes


class Arm7Tdmi(Arm):
    """An ARM7TDMI under unicorn, whose later core knows more instructions than the compiler may use."""

    thumb = 0
    depends_on_operands = True

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        unicorn, capstone = self.unicorn, self.capstone
        core = unicorn.Uc(unicorn.UC_ARCH_ARM, unicorn.UC_MODE_ARM)
        core.ctl_set_cpu_model(unicorn.arm_const.UC_CPU_ARM_926)
        disassembler = capstone.Cs(capstone.CS_ARCH_ARM, capstone.CS_MODE_ARM)
        disassembler.detail = True
        return core, disassembler

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """Cycles of an instruction that its condition skips, if it has one: the others come by operands."""
        return (1 if self.conditional(instruction) else self.cycles_of(instruction)), 0

    def cycles_of(self, instruction: Any) -> int:
        """Cycles of an instruction that is done, a product's without the bytes of its multiplier."""
        name = name_of(instruction)
        if name in ("b", "bl", "bx"):
            return 3
        if name.startswith(SEVERAL):
            cycles = registers_in_list(instruction) + (2 if name.startswith(("pop", "ldm")) else 1)
        elif name.startswith(("ldr", "str")):
            cycles = 3 if name.startswith("ldr") else 2
        else:
            cycles = 1 + PRODUCTS.get(name, 0) + self.shifts_by_register(instruction)
        return cycles + 2 * self.jumps(instruction)

    def shifts_by_register(self, instruction: Any) -> bool:
        """Whether a register gives the distance of a shift."""
        if name_of(instruction) in ("lsl", "lsr", "asr", "ror"):
            return bool(instruction.operands[-1].type == self.arm.ARM_OP_REG)
        by_register = range(self.arm.ARM_SFT_ASR_REG, self.arm.ARM_SFT_RRX_REG + 1)
        return any(operand.shift.type in by_register for operand in instruction.operands)

    def by_operands(self, instruction: Any) -> Callable[[], int] | None:
        """What a conditional instruction takes if it is done; the bytes of a multiplier."""
        name, condition = name_of(instruction), instruction.cc
        done = self.cycles_of(instruction) - 1 if self.conditional(instruction) else 0
        if name not in PRODUCTS:
            return (lambda: done if self.holds(condition) else 0) if done else None
        register = self.number_of(instruction, -2 if name == "mla" else -1)
        signed = not name.startswith("u")
        return lambda: (done + multiplier_bytes(self.core.reg_read(register), signed)) * self.holds(condition)

    def number_of(self, instruction: Any, place: int) -> int:
        """The simulator's number of a register."""
        name = str(instruction.reg_name(instruction.operands[place].reg)).upper()
        return int(getattr(self.unicorn.arm_const, f"UC_ARM_REG_{name}"))

    def holds(self, condition: int) -> bool:
        """Whether the flags fulfil a condition, as the disassembler numbers them."""
        flags = self.core.reg_read(self.unicorn.arm_const.UC_ARM_REG_CPSR) >> 28
        n, z, c, v = (bool(flags & bit) for bit in (8, 4, 2, 1))
        held = (z, c, n, v, c and not z, n == v, n == v and not z)
        return condition == self.arm.ARM_CC_AL or held[(condition - 1) // 2] == bool(condition % 2)


def multiplier_bytes(number: int, signed: bool) -> int:
    """Bytes of a multiplier up to the highest that is not all zeros, or not all ones where it has a sign."""
    size = number if not signed else min(number, number ^ 0xFFFFFFFF)
    return max(1, (size.bit_length() + 7) // 8)
