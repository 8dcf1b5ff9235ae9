"""An MSP430 without multiplier: its 27 instructions, and their cycles as TI's SLAU049 has them in section 3.4
(from memory).

clang compiles for it; the loops for shifts by a variable, which a run-time library would have, are those of
`msp430_library.h`. DADD and RETI, which no compiled arithmetic has, are left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from tests.on_target.images import Image, Toolchain

START = 0x4400
LIBRARY = Path(__file__).with_name("msp430_library.h")
LINKER = Toolchain(
    word=16,
    multiplier=0,
    compiler="clang",  # for any CPU whose programs its own linker links: nothing of it gets into the program
    options=("--target=arm-none-eabi", "-nostdlib", "-fuse-ld=lld"),
    package="clang lld",
    link=(f"-Wl,-Ttext={START:#x}",),
)
CLANG = Toolchain(
    word=16,
    multiplier=0,
    compiler="clang",
    options=("-O2", "-std=c99", "--target=msp430", "-ffreestanding", "-include", str(LIBRARY)),
    package="clang lld",
    linker=LINKER,
)
PC, SP, SR, CONSTANTS = range(4)
FIRST_ARGUMENT = 12
RETURN_TO, STACK, STRUCTURES, RESULT = 0xFF00, 0x3000, 0x3400, 0x3500
CARRY, ZERO, NEGATIVE, OVERFLOW = 1, 2, 4, 0x100
# Cycles by how the source is addressed: register or generated constant, @Rn, @Rn+ or immediate, indexed.
REGISTER, INDIRECT, POSTINCREMENT, INDEXED = range(4)
TO_REGISTER, TO_PC, TO_MEMORY = (1, 2, 2, 3), (2, 2, 3, 3), (4, 5, 5, 6)
ONE_OPERAND, PUSH, CALL = (1, 3, 3, 4), (3, 4, 5, 5), (4, 4, 5, 5)
JUMP = 2


class Place(NamedTuple):
    """An operand: a register, an address or a value, and how it is addressed."""

    register: int | None
    address: int | None
    value: int
    addressed: int


class Msp430:
    """An MSP430, with arguments where the embedded application binary interface has them."""

    def __init__(self, image: Image) -> None:
        self.image = image
        self.memory = bytearray(1 << 16)
        for start, data in image.segments:
            self.memory[start : start + len(data)] = data
        self.registers = [0] * 16
        self.cycles = 0

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return."""
        image, size, registers = self.image, self.image.width // 8, self.registers
        words = [operand >> shift & 0xFFFF for operand in operands for shift in range(0, 8 * size, 16)]
        if image.width > 32:
            words = [STRUCTURES + size * index for index in range(len(operands))]
            for place, operand in zip(words, operands, strict=True):
                self.memory[place : place + size] = operand.to_bytes(size, "little")
        if image.result_width > 32:
            words.append(RESULT)
        registers[FIRST_ARGUMENT:] = (words + [0] * 4)[:4]
        for index, word in enumerate([RETURN_TO, *words[4:]]):
            self.write(STACK + 2 * index, word, 2)
        registers[SP], registers[PC], self.cycles = STACK, self.image.address(operation), 0
        while registers[PC] != RETURN_TO:
            self.step()
        if image.result_width > 32:
            return self.read(RESULT, image.result_bytes), self.cycles
        return image.defined(registers[FIRST_ARGUMENT] | registers[FIRST_ARGUMENT + 1] << 16), self.cycles

    def read(self, address: int, size: int) -> int:
        """A number in memory; words are at even addresses."""
        address &= 0xFFFE if size == 2 else 0xFFFF
        return int.from_bytes(self.memory[address : address + size], "little")

    def write(self, address: int, number: int, size: int) -> None:
        """Put a number into memory."""
        self.memory[address : address + size] = number.to_bytes(size, "little")

    def fetch(self) -> int:
        """The next word of the program."""
        word = self.read(self.registers[PC], 2)
        self.registers[PC] = self.registers[PC] + 2 & 0xFFFF
        return word

    def source(self, register: int, mode: int, size: int) -> Place:
        """The operand that a register and a mode of two bits name."""
        if register == CONSTANTS or (register == SR and mode >= 2):
            number = (0, 1, 2, -1)[mode] if register == CONSTANTS else (4, 8)[mode - 2]
            return Place(None, None, number & (1 << 8 * size) - 1, REGISTER)
        if mode == 0:
            return Place(register, None, self.registers[register] & (1 << 8 * size) - 1, REGISTER)
        if mode == 1:
            base = 0 if register == SR else self.registers[register]
            address = self.fetch() + base & 0xFFFF
            return Place(None, address, self.read(address, size), INDEXED)
        address = self.registers[register]
        if mode == 3:
            step = 2 if register in (PC, SP) else size
            self.registers[register] = address + step & 0xFFFF
        return Place(None, address, self.read(address, size), INDIRECT if mode == 2 else POSTINCREMENT)

    def put(self, place: Place, number: int, size: int) -> None:
        """Put a result where an operand was; a byte clears the upper half of a register."""
        if place.register is not None:
            self.registers[place.register] = number
        elif place.address is not None:
            self.write(place.address, number, size)

    def set_flags(self, result: int, sign: int, carry: bool, overflow: bool) -> None:
        """Carry, zero, negative and overflow."""
        rest = self.registers[SR] & ~(CARRY | ZERO | NEGATIVE | OVERFLOW)
        zero, negative = ZERO * (result == 0), NEGATIVE * bool(result & sign)
        self.registers[SR] = rest | CARRY * carry | zero | negative | OVERFLOW * overflow

    def step(self) -> None:
        """Do one instruction."""
        op = self.fetch()
        if op >> 13 == 1:
            self.cycles += JUMP
            if self.holds(op >> 10 & 7):
                distance = (op & 0x3FF ^ 0x200) - 0x200
                self.registers[PC] = self.registers[PC] + 2 * distance & 0xFFFF
        elif op >> 12 == 1:
            self.one_operand(op >> 7 & 7, op)
        else:
            assert op >> 12 >= 4, f"{op:#06x} is no instruction of an MSP430"
            self.two_operands(op >> 12, op)

    def holds(self, condition: int) -> bool:
        """Whether a jump is taken: JNE, JEQ, JNC, JC, JN, JGE, JL, JMP."""
        flags = self.registers[SR]
        less = bool(flags & NEGATIVE) != bool(flags & OVERFLOW)
        zero, carry, negative = bool(flags & ZERO), bool(flags & CARRY), bool(flags & NEGATIVE)
        return (not zero, zero, not carry, carry, negative, not less, less, True)[condition]

    def one_operand(self, which: int, op: int) -> None:
        """RRC, SWPB, RRA, SXT, PUSH, CALL."""
        size = 1 if op & 0x40 else 2
        place = self.source(op & 15, op >> 4 & 3, size)
        self.cycles += (PUSH if which == 4 else CALL if which == 5 else ONE_OPERAND)[place.addressed]
        value, sign = place.value, 1 << 8 * size - 1
        if which in (0, 2):
            incoming = self.registers[SR] & CARRY if which == 0 else value >> 8 * size - 1
            result = value >> 1 | incoming * sign
            self.set_flags(result, sign, carry=bool(value & 1), overflow=False)
            self.put(place, result, size)
        elif which == 1:
            self.put(place, value >> 8 | value << 8 & 0xFF00, size)
        elif which == 3:
            result = (value & 0xFF ^ 0x80) - 0x80 & 0xFFFF
            self.set_flags(result, 0x8000, carry=result != 0, overflow=False)
            self.put(place, result, size)
        else:
            assert which in (4, 5), f"{op:#06x} is not among the instructions here"
            self.registers[SP] = self.registers[SP] - 2 & 0xFFFF
            self.write(self.registers[SP], value if which == 4 else self.registers[PC], 2)
            if which == 5:
                self.registers[PC] = value

    def two_operands(self, which: int, op: int) -> None:
        """MOV, ADD, ADDC, SUBC, SUB, CMP, BIT, BIC, BIS, XOR, AND."""
        size = 1 if op & 0x40 else 2
        place = self.source(op >> 8 & 15, op >> 4 & 3, size)
        to = op & 15
        if op & 0x80:
            base = 0 if to == SR else self.registers[to]
            address = self.fetch() + base & 0xFFFF
            target = Place(None, address, self.read(address, size), INDEXED)
        else:
            target = Place(to, None, self.registers[to] & (1 << 8 * size) - 1, REGISTER)
        prices = TO_MEMORY if op & 0x80 else TO_PC if to == PC else TO_REGISTER
        self.cycles += prices[place.addressed]
        result = self.computed(which, place.value, target.value, size)
        if result is not None:
            self.put(target, result, size)

    def computed(self, which: int, left: int, right: int, size: int) -> int | None:
        """What goes to the destination, if anything does; sets the flags."""
        every, sign = (1 << 8 * size) - 1, 1 << 8 * size - 1
        if which in (0x4, 0xC, 0xD):
            return left if which == 0x4 else right & ~left if which == 0xC else right | left
        if which in (0xB, 0xE, 0xF):
            result = right ^ left if which == 0xE else right & left
            self.set_flags(result, sign, result != 0, which == 0xE and bool(left & right & sign))
            return None if which == 0xB else result
        assert which != 0xA, "DADD is not among the instructions here"
        addend = left ^ every if which in (0x7, 0x8, 0x9) else left
        carry = self.registers[SR] & CARRY if which in (0x6, 0x7) else int(which != 0x5)
        total = right + addend + carry
        result = total & every
        overflow = bool(~(addend ^ right) & (addend ^ result) & sign)
        self.set_flags(result, sign, total > every, overflow)
        return None if which == 0x9 else result
