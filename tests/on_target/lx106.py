"""An Xtensa LX106 at zero wait states, in an interpreter of the instructions that compiled integer code has;
the compiler's own disassembler reads them. No table of its cycles is public, and all are recalled: 1 an
instruction, 3 for a jump, a call, a return and a branch that is taken; who uses a loaded word or a product
next waits for 1.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Sequence
from typing import NamedTuple

from tests import tools
from tests.on_target.images import START, Image, Toolchain

GCC = Toolchain(
    word=32,
    multiplier=16,
    compiler="xtensa-lx106-elf-gcc",
    options=("-O2", "-std=c99"),
    package="gcc-xtensa-lx106",
    link=("-ffreestanding", "-nostdlib", f"-Wl,-Ttext={START:#x}", "-lgcc"),
)
BRACKET = "all recalled, as no table is public"
MASK = 0xFFFFFFFF
MEMORY, STACK, RETURN_TO = 0x100000, 0x80000, 0x90000
STEP, ELSEWHERE, LATE = 1, 3, 1


def signed(word: int) -> int:
    """A word as a number with a sign."""
    return word - (1 << 32) if word >> 31 else word


# What an instruction writes, from its operands; `s` is the register of shift amounts.
RESULTS: dict[str, Callable[..., int]] = {
    "mov": lambda x: x,
    "movi": lambda x: x,
    "neg": lambda x: -x,
    "abs": lambda x: abs(signed(x)),
    "and": lambda x, y: x & y,
    "or": lambda x, y: x | y,
    "xor": lambda x, y: x ^ y,
    "add": lambda x, y: x + y,
    "addi": lambda x, y: x + y,
    "addmi": lambda x, y: x + y,
    "sub": lambda x, y: x - y,
    "slli": lambda x, n: x << n,
    "srli": lambda x, n: x >> n,
    "srai": lambda x, n: signed(x) >> n,
    "extui": lambda x, n, width: x >> n & ((1 << width) - 1),
    "nsau": lambda x: 32 - x.bit_length(),
    "mull": lambda x, y: x * y,
    "mul16u": lambda x, y: (x & 0xFFFF) * (y & 0xFFFF),
}
RESULTS |= {f"addx{scale}": lambda x, y, scale=scale: x * scale + y for scale in (2, 4, 8)}
RESULTS |= {f"subx{scale}": lambda x, y, scale=scale: x * scale - y for scale in (2, 4, 8)}
BY_AMOUNT: dict[str, Callable[..., int]] = {
    "sll": lambda s, x: x << (32 - s),
    "srl": lambda s, x: x >> s,
    "sra": lambda s, x: signed(x) >> s,
    "src": lambda s, x, y: (x << 32 | y) >> s,
}
AMOUNTS: dict[str, Callable[[int], int]] = {
    "ssl": lambda x: 32 - (x & 31),
    "ssr": lambda x: x & 31,
    "ssai": lambda n: n,
}
CONDITIONS: dict[str, Callable[[int, int], bool]] = {
    "eq": lambda x, y: x == y,
    "ne": lambda x, y: x != y,
    "lt": lambda x, y: signed(x) < signed(y),
    "ge": lambda x, y: signed(x) >= signed(y),
    "ltu": lambda x, y: x < y,
    "geu": lambda x, y: x >= y,
    "any": lambda x, y: x & y != 0,
    "none": lambda x, y: x & y == 0,
    "all": lambda x, y: x & y == y,
    "nall": lambda x, y: x & y != y,
    "bs": lambda x, n: bool(x >> n & 1),
    "bc": lambda x, n: not x >> n & 1,
}
LOADS = {"l32i": 4, "l16ui": 2, "l8ui": 1}
STORES = {"s32i": 4, "s16i": 2, "s8i": 1}
DELIVER_LATE = (*LOADS, "l32r", "mull", "mul16u")
NONE = -1


class Instruction(NamedTuple):
    """An instruction: its size, its name, its operands, each with whether it is the number of a register, and
    whether the first is written.
    """

    size: int
    name: str
    operands: tuple[tuple[int, bool], ...]
    writes: bool


class Lx106:
    """An LX106 with a program in its memory."""

    def __init__(self, image: Image) -> None:
        self.image = image
        self.memory = bytearray(MEMORY)
        for start, data in image.segments:
            self.memory[start : start + len(data)] = data
        self.listing = disassembled(image)
        self.code: dict[int, Instruction] = {}
        self.registers = [0] * 16
        self.amount = self.place = self.cycles = 0
        self.late = NONE  # the register whose value is there a cycle later

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return: arguments from a2 on, the lowest word first."""
        words = [x >> shift & MASK for x in operands for shift in range(0, self.image.width, 32)]
        self.registers[2 : 2 + len(words)] = words
        self.registers[0], self.registers[1] = RETURN_TO, STACK
        self.place, self.cycles, self.late = self.image.address(operation), 0, NONE
        while self.place != RETURN_TO:
            self.step()
        return self.image.defined(self.registers[2] | self.registers[3] << 32), self.cycles

    def step(self) -> None:
        """One instruction."""
        each = self.code.get(self.place)
        if each is None:
            each = self.code[self.place] = instruction(*self.listing[self.place])
        read = [self.registers[x] if register else x for x, register in each.operands]
        self.cycles += STEP + (LATE if (self.late, True) in each.operands[each.writes :] else 0)
        numbers = [x for x, _ in each.operands]
        self.late = numbers[0] if each.name in DELIVER_LATE else NONE
        self.place += each.size
        self.do(each.name, read, numbers)

    def do(self, name: str, read: Sequence[int], operands: Sequence[int]) -> None:
        """What an instruction does, from what is in its operands."""
        if name in RESULTS:
            self.registers[operands[0]] = RESULTS[name](*read[1:]) & MASK
        elif name in BY_AMOUNT:
            self.registers[operands[0]] = BY_AMOUNT[name](self.amount, *read[1:]) & MASK
        elif name in AMOUNTS:
            self.amount = AMOUNTS[name](read[0])
        elif name == "l32r":
            self.registers[operands[0]] = self.word(read[1], 4)
        elif name in LOADS:
            self.registers[operands[0]] = self.word(read[1] + read[2], LOADS[name])
        elif name in STORES:
            size, place = STORES[name], read[1] + read[2]
            self.memory[place : place + size] = (read[0] & ((1 << 8 * size) - 1)).to_bytes(size, "little")
        elif name.startswith("mov"):
            if condition(name.removeprefix("mov"), [read[2]]):
                self.registers[operands[0]] = read[1]
        elif name in ("j", "jx", "ret", "call0", "callx0"):
            if name.startswith("call"):
                self.registers[0] = self.place
            self.jump(read[0] if read else self.registers[0])
        elif name.startswith("b"):
            if condition(name.removeprefix("b"), read[:-1]):
                self.jump(read[-1])
        else:
            assert name == "nop", f"{name} is not interpreted here"

    def jump(self, place: int) -> None:
        """Go on elsewhere."""
        self.place = place
        self.cycles += ELSEWHERE - STEP

    def word(self, place: int, size: int) -> int:
        """What is in memory."""
        return int.from_bytes(self.memory[place : place + size], "little")


def condition(name: str, read: Sequence[int]) -> bool:
    """Whether a condition holds, between two operands or one and zero; i is for an immediate."""
    if name in CONDITIONS:
        return CONDITIONS[name](read[0], read[1])
    if name.endswith("z"):
        return CONDITIONS[name.removesuffix("z")](read[0], 0)
    return CONDITIONS[name.removesuffix("i")](read[0], read[1] & MASK)


def disassembled(image: Image) -> dict[int, tuple[int, str, list[str]]]:
    """By addresses: sizes, names and operands as the compiler's disassembler shows them."""
    objdump = tools.compiler(GCC.compiler.removesuffix("gcc") + "objdump", GCC.package)
    listed = subprocess.run([objdump, "-d", str(image.path)], capture_output=True, text=True, check=True)
    line = r"^ *([0-9a-f]+):\t([0-9a-f]+) *\t([a-z][\w.]*)\t?([^<(\n]*)"
    found = re.findall(line, listed.stdout, re.MULTILINE)
    return {
        int(place, 16): (len(code) // 2, name.removesuffix(".n"), operands.replace(",", "").split())
        for place, code, name, operands in found
    }


def instruction(size: int, name: str, texts: Sequence[str]) -> Instruction:
    """An instruction of what a line shows: registers, numbers, and places, which are hexadecimal."""
    names_place = name in ("l32r", "j", "call0") or name.startswith("b")
    operands = []
    for index, text in enumerate(texts):
        is_register = re.fullmatch(r"a\d+", text) is not None
        is_place = names_place and index == len(texts) - 1
        operands.append((int(text[1:]) if is_register else int(text, 16 if is_place else 0), is_register))
    writes = name in (*RESULTS, *BY_AMOUNT, *LOADS, "l32r") or name.startswith("mov")
    return Instruction(size, name, tuple(operands), writes)
