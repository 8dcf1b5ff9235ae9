"""Cortex-M cores without FPU, at zero wait states: instructions are priced by Arm's manuals.

- M0 and M0+: the Technical Reference Manuals (Arm DDI0432C, table 3-1; Arm DDI0484C, table 3.1), with the
  single-cycle multiplier. A pop that returns takes 4 or 3 cycles and one a register, the PC among them
  (footnote to these tables, from memory).
- M23: no table is public; it is priced as the M0+, from memory.
- M3 and M4: a *bracket*, as the manuals (Arm DDI0337H and DDI0439, table 3.1) give ranges. What is applied: a
  refill P of 2, from 1 to 3. A long product on the M3 takes 4, from 3 to 5; one that accumulates takes 5,
  from 4 to 7. A division takes 7, from 2 to 12. A load takes 2, but 1 after another load or store; a store
  takes 1, or 2 with a register as offset. IT is folded, and free, after an instruction of 16 bits. (How
  transfers overlap and IT is folded: from memory.) What a condition skips takes as long as what it does not.
- M33: a *bracket*, measured on an RP2350 (jnk0le/random, cortex_m33.md; calls, returns, long products and
  division from memory). A taken branch takes 2, though 1 is possible, one not taken 1. A load, a product and
  an operation with a shifted operand take 1, but keep who uses the result next waiting for 1. A transfer of
  several registers takes 1 a register.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar

from tests.on_target.arm import SEVERAL, Arm, by_clang, by_gcc, name_of, registers_in_list


@dataclass(frozen=True)
class Prices:
    """Cycles of a core's instructions. What is named in no other way takes 1.

    `jump` is for B, BX, a taken branch and whatever else writes the PC; `transfer` is for a load or store,
    `several` for one of several registers, beside one a register, and `popping` if it writes the PC; `others`
    are by their names. Where transfers are `pipelined`, a load or store that follows another takes less.
    Loads and products may be `late`, so that who uses them next waits for a cycle.
    """

    jump: int
    call: int
    popping: int
    several: int = 1
    transfer: int = 2
    pipelined: bool = False
    late: bool = False
    others: Mapping[str, int] = field(default_factory=dict)


SHIFTS = ("lsl", "lsr", "asr", "ror")
PRODUCTS = ("mul", "mla", "mls", "umull", "smull", "umlal", "smlal", "umaal")


class CortexM(Arm):
    """A core under unicorn; `model` is its name there."""

    model: ClassVar[str]
    prices: ClassVar[Prices]

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        unicorn, capstone = self.unicorn, self.capstone
        core = unicorn.Uc(unicorn.UC_ARCH_ARM, unicorn.UC_MODE_THUMB | unicorn.UC_MODE_MCLASS)
        core.ctl_set_cpu_model(getattr(unicorn.arm_const, f"UC_CPU_ARM_{self.model}"))
        modes = capstone.CS_MODE_THUMB | capstone.CS_MODE_MCLASS | capstone.CS_MODE_V8
        disassembler = capstone.Cs(capstone.CS_ARCH_ARM, modes)
        disassembler.detail = True
        return core, disassembler

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """Cycles of an instruction, and what more a branch costs when it is taken."""
        cycles = self.cycles_of(instruction, before)
        by_register = name_of(instruction) in ("cbz", "cbnz")
        if by_register or (self.conditional(instruction) and self.jumps(instruction)):
            return 1, cycles - 1
        return cycles, 0

    def cycles_of(self, instruction: Any, before: Any | None) -> int:
        """Cycles of an instruction that is done."""
        prices, name = self.prices, name_of(instruction)
        if name in prices.others:
            return prices.others[name]
        if name == "it":
            return 0 if before is not None and before.size == 2 else 1
        if name.startswith(SEVERAL):
            return registers_in_list(instruction) + (
                prices.popping if self.jumps(instruction) else prices.several
            )
        if name == "ldr" and self.jumps(instruction):
            return 1 + prices.popping
        if name in ("ldrd", "strd"):
            return 2 + prices.several
        if name.startswith(("ldr", "str")):
            return self.cycles_of_transfer(instruction, before) if prices.pipelined else prices.transfer
        if name == "bl":
            return prices.call
        return prices.jump if self.jumps(instruction) else 1

    def cycles_of_transfer(self, instruction: Any, before: Any | None) -> int:
        """Cycles of a load or store of a word where one may begin before the other has ended."""
        follows = before is not None and name_of(before).startswith(("ldr", "str"))
        with_index = any(operand.mem.index for operand in instruction.operands)
        if follows or (name_of(instruction).startswith("str") and not with_index):
            return 1
        return 2

    def wait(self, instruction: Any) -> tuple[Sequence[str], int]:
        """Loads, products and operations with a shifted operand may deliver a cycle late."""
        name = name_of(instruction)
        shifted = any(operand.shift.type for operand in instruction.operands) and name not in SHIFTS
        if not self.prices.late or not (shifted or name in PRODUCTS or name.startswith("ldr")):
            return (), 0
        return instruction.op_str.split(", ")[: 2 if name in ("umull", "smull", "ldrd") else 1], 1


V6M = Prices(jump=2, call=3, popping=3)
V7M = Prices(jump=3, call=3, popping=3, pipelined=True, others={"udiv": 7, "sdiv": 7})
V7M_LONG_PRODUCTS = {"umull": 4, "smull": 4, "umlal": 5, "smlal": 5, "mla": 2, "mls": 2}


class CortexM0(CortexM):
    """A Cortex-M0, whose pipeline has a stage more than the M0+'s."""

    model, prices = "CORTEX_M0", Prices(jump=3, call=4, popping=4)


class CortexM0Plus(CortexM):
    """A Cortex-M0+."""

    model, prices = "CORTEX_M0", V6M


class CortexM23(CortexM):
    """A Cortex-M23, with the divider of 17 cycles."""

    model, prices = "CORTEX_M33", replace(V6M, others={"udiv": 17, "sdiv": 17})


class CortexM3(CortexM):
    """A Cortex-M3."""

    model, prices = "CORTEX_M3", replace(V7M, others={**V7M.others, **V7M_LONG_PRODUCTS})


class CortexM4(CortexM):
    """The integer side of a Cortex-M4."""

    model, prices = "CORTEX_M4", V7M


class CortexM33(CortexM):
    """A Cortex-M33 without FPU."""

    model = "CORTEX_M33"
    prices = Prices(
        jump=2, call=2, popping=2, several=0, transfer=1, late=True, others={"udiv": 7, "sdiv": 7}
    )


BRACKET = "refill 2 of 1-3, division 7 of 2-12"
BRACKET_M3 = f"{BRACKET}, long product 4 of 3-5"
BRACKET_M33 = "branch taken 2 of 1-2, not taken 1 of 0-1, division 7 of 2-11"
M0 = by_gcc("cortex-m0", "-mthumb", 16)
M0_PLUS = by_gcc("cortex-m0plus", "-mthumb", 16)
M23 = by_gcc("cortex-m23", "-mthumb", 16)
M3 = by_gcc("cortex-m3", "-mthumb", 32)
M4 = by_gcc("cortex-m4", "-mthumb", 32)
M33 = by_gcc("cortex-m33", "-mthumb", 32)
M0_BY_CLANG = by_clang(M0, "thumbv6m")
M0_PLUS_BY_CLANG = by_clang(M0_PLUS, "thumbv6m")
M23_BY_CLANG = by_clang(M23, "thumbv8m.base")
M3_BY_CLANG = by_clang(M3, "thumbv7m")
M4_BY_CLANG = by_clang(M4, "thumbv7em")
M33_BY_CLANG = by_clang(M33, "thumbv8m.main")
