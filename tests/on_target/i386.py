"""An 80386 at zero wait states, by the clocks of the 80386 Programmer's Reference Manual (Intel, 1986,
chapter 17; rows that costmodels/80386.toml does not have from memory).

What goes elsewhere takes a clock for each component of the instruction that it finds there: a displacement,
an immediate, every other byte; the caller's next one counts as two. A product takes 6 and one for each bit of
the multiplier, 3 at the least. An address made of two registers takes 1 more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from tests.on_target.images import START, Toolchain
from tests.on_target.unicorn_cores import END, STACK, UnicornCore

GCC = Toolchain(
    word=32,
    multiplier=32,
    compiler="i686-linux-gnu-gcc",
    options=("-O2", "-std=c99", "-march=i386", "-mtune=i386", "-fno-pic", "-fcf-protection=none"),
    package="gcc-i686-linux-gnu",
    link=("-ffreestanding", "-static", "-nostdlib", f"-Wl,-Ttext-segment={START:#x}", "-lgcc"),
)
CLANG = replace(
    GCC,
    compiler="clang",
    options=("-O2", "-std=c99", "--target=i386-unknown-elf", "-march=i386", "-fno-pic"),
    package="clang",
    linker=GCC,
)
# Clocks by the names of instructions and by their operands: registers, immediates, memory.
ROWS = (
    ("mov", {"rr": 2, "ri": 2, "rm": 4, "mr": 2, "mi": 2}),
    ("add adc sub sbb and or xor", {"rr": 2, "ri": 2, "rm": 6, "mr": 7, "mi": 7}),
    ("cmp test", {"rr": 2, "ri": 2, "rm": 6, "mr": 5, "mi": 5}),
    ("inc dec neg not", {"r": 2, "m": 6}),
    ("shl shr sar rol ror", {"rr": 3, "ri": 3, "r": 3, "mr": 7, "mi": 7, "m": 7}),
    ("shld shrd", {"rri": 3, "rrr": 3, "mri": 7, "mrr": 7}),
    ("movzx movsx", {"rr": 3, "rm": 6}),
    ("lea", {"rm": 2}),
    ("xchg", {"rr": 3, "rm": 5, "mr": 5}),
    ("push", {"r": 2, "i": 2, "m": 5}),
    ("pop", {"r": 4, "m": 5}),
    ("mul imul", {"r": 6, "m": 9, "rr": 6, "rm": 9, "rri": 6, "rmi": 9}),
    ("div", {"r": 38, "m": 41}),
    ("set", {"r": 4, "m": 5}),
    ("nop", {"": 3}),
    ("leave", {"": 4}),
    ("ret", {"": 10}),
    ("jmp call", {"i": 7}),
)
PRICES = {name: prices for names, prices in ROWS for name in names.split()}
TAKEN, NOT_TAKEN = 7, 3
AT_CALLER = 2  # components of what a function returns to


class I386(UnicornCore):
    """An 80386 under unicorn."""

    depends_on_operands = True

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        unicorn, capstone = self.unicorn, self.capstone
        disassembler = capstone.Cs(capstone.CS_ARCH_X86, capstone.CS_MODE_32)
        disassembler.detail = True
        self.components: dict[int, int] = {}
        return unicorn.Uc(unicorn.UC_ARCH_X86, unicorn.UC_MODE_32), disassembler

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """Clocks of an instruction, without the bits of a multiplier, and what more a taken branch takes."""
        self.components[instruction.address] = components(instruction)
        name = str(instruction.insn_name())
        if name.startswith("j") and name != "jmp":
            return NOT_TAKEN, TAKEN - NOT_TAKEN
        x86 = self.capstone.x86
        letters = {x86.X86_OP_REG: "r", x86.X86_OP_IMM: "i", x86.X86_OP_MEM: "m"}
        kinds = "".join(letters[operand.type] for operand in instruction.operands)
        places = [operand.mem for operand in instruction.operands if operand.type == x86.X86_OP_MEM]
        clocks = PRICES["set" if name.startswith("set") else name][kinds]
        return clocks + any(place.base and place.index for place in places), 0

    def enter_block(self, core: Any, address: int, size: int, data: Any) -> None:
        """Called by unicorn before each block: one that was jumped to is decoded anew."""
        end = self.last.end
        super().enter_block(core, address, size, data)
        if end and address != end:
            self.cycles += self.components[address]

    def by_operands(self, instruction: Any) -> Callable[[], int] | None:
        """The bits of a multiplier."""
        if instruction.insn_name() not in ("mul", "imul"):
            return None
        multiplier = instruction.operands[-1]
        return lambda: max(3, (self.value(instruction, multiplier) - 1).bit_length())

    def value(self, instruction: Any, operand: Any) -> int:
        """The absolute value of an operand of 32 bits."""
        x86 = self.capstone.x86
        if operand.type == x86.X86_OP_IMM:
            return abs(int(operand.imm))
        if operand.type == x86.X86_OP_REG:
            number = self.register(instruction, operand.reg)
        else:
            place = operand.mem
            address = self.register(instruction, place.base) + int(place.disp)
            address += self.register(instruction, place.index) * int(place.scale)
            number = int.from_bytes(bytes(self.core.mem_read(address & 0xFFFFFFFF, 4)), "little")
        negative = instruction.insn_name() == "imul" and number >> 31
        return (1 << 32) - number if negative else number

    def register(self, instruction: Any, number: int) -> int:
        """What is in a register, by the disassembler's number of it; 0 for none."""
        if not number:
            return 0
        name = str(instruction.reg_name(number)).upper()
        return int(self.core.reg_read(getattr(self.unicorn.x86_const, f"UC_X86_REG_{name}")))

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Arguments on the stack, results in eax and edx."""
        x86, stack = self.unicorn.x86_const, STACK - 64
        for index, word in enumerate((END, *words)):
            self.core.mem_write(stack + 4 * index, word.to_bytes(4, "little"))
        self.core.reg_write(x86.UC_X86_REG_ESP, stack)
        self.core.emu_start(address, END)
        self.cycles += AT_CALLER
        return self.core.reg_read(x86.UC_X86_REG_EAX), self.core.reg_read(x86.UC_X86_REG_EDX)


def components(instruction: Any) -> int:
    """Parts of an instruction as the manual counts them."""
    wide = [int(size) for size in (instruction.disp_size, instruction.imm_size) if size]
    return int(instruction.size) - sum(wide) + len(wide)
