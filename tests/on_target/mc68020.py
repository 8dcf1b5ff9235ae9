"""An MC68020 with its code in the cache, at zero wait states, by the cache case of the MC68020 User's Manual
(Motorola, section 8.2: shifts and bit fields as published, the rest from memory). Nothing overlaps, as it
does in the best case: clocks are an instruction's own and those that fetch its operand from memory, or an
immediate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from tests.on_target.mc68000 import TOOLCHAIN as FOR_MC68000
from tests.on_target.unicorn_cores import END, STACK, UnicornCore

GCC = replace(FOR_MC68000, word=32, multiplier=32, options=("-O2", "-std=c99", "-m68020", "-msoft-float"))
CONDITIONS = ("hi", "ls", "cc", "cs", "ne", "eq", "vc", "vs", "pl", "mi", "ge", "lt", "gt", "le")
BRANCHES, SETS = (tuple(letter + condition for condition in CONDITIONS) for letter in "bs")
BITS = ("bset", "bclr", "btst", "bchg")
SHIFTS = ("lsl", "lsr", "asr", "asl", "rol", "ror", "roxl", "roxr")
# Clocks by the name of an instruction, with its size where they depend on it; 2 for all others.
ROWS = (
    (4, (*SETS, *BITS, "swap", "ext", "extb", "cmpa", "lsl", "lsr")),
    (5, ("pea",)),
    (6, ("asr", "bftst", "bra")),
    (7, ("bsr", "jsr")),
    (8, ("asl", "rol", "ror", "bfextu", "bfexts")),
    (10, ("bfins", "rts")),
    (12, ("roxl", "roxr")),
    (18, ("bfffo",)),
    (27, ("mulu.w", "muls.w")),
    (43, ("mulu.l", "muls.l")),
    (44, ("divu.w",)),
    (56, ("divs.w",)),
    (78, ("divu.l", "divul.l")),
    (90, ("divs.l", "divsl.l")),
)
CLOCKS = {name: clocks for clocks, names in ROWS for name in names}
SHORT = ("moveq", "addq", "subq", *SHIFTS, *BITS)  # whose immediate is in the first word, or not waited for
# By the way an operand is addressed: clocks to fetch it, and to calculate where it is.
FETCH = {"REGI_ADDR": 4, "REGI_ADDR_POST_INC": 4, "REGI_ADDR_PRE_DEC": 5, "REGI_ADDR_DISP": 5}
FETCH |= {"AREGI_INDEX_8_BIT_DISP": 7, "AREGI_INDEX_BASE_DISP": 7, "ABSOLUTE_DATA_LONG": 4}
LOCATE = {
    "REGI_ADDR_DISP": 2,
    "AREGI_INDEX_8_BIT_DISP": 4,
    "AREGI_INDEX_BASE_DISP": 4,
    "ABSOLUTE_DATA_LONG": 4,
}
STORE = {"REGI_ADDR": 2, "REGI_ADDR_POST_INC": 2, "REGI_ADDR_PRE_DEC": 3, "REGI_ADDR_DISP": 3}
STORE |= {"AREGI_INDEX_8_BIT_DISP": 5, "AREGI_INDEX_BASE_DISP": 5}  # an index takes as much more as to fetch


class Mc68020(UnicornCore):
    """An MC68020 under unicorn."""

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        unicorn, capstone = self.unicorn, self.capstone
        core = unicorn.Uc(unicorn.UC_ARCH_M68K, unicorn.UC_MODE_BIG_ENDIAN)
        core.ctl_set_cpu_model(unicorn.m68k_const.UC_CPU_M68K_M68020)
        modes = capstone.CS_MODE_M68K_020 | capstone.CS_MODE_BIG_ENDIAN
        disassembler = capstone.Cs(capstone.CS_ARCH_M68K, modes)
        disassembler.detail = True
        ways = (name for name in dir(capstone.m68k) if name.startswith("M68K_AM_"))
        self.ways = {getattr(capstone.m68k, name): name.removeprefix("M68K_AM_") for name in ways}
        return core, disassembler

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """Clocks of an instruction, and what more a branch takes when it is taken."""
        name, _, size = instruction.mnemonic.partition(".")
        if name in BRANCHES:
            not_taken = 4 if size == "b" else 6
            return not_taken, 6 - not_taken
        own = CLOCKS.get(instruction.mnemonic, CLOCKS.get(name, 2))
        ways = [self.ways[operand.address_mode] for operand in instruction.operands]
        if name == "movem":
            stored = ways[-1] in STORE
            count = number_of_registers(instruction.op_str.split(", ")[0 if stored else 1])
            return (4 + 3 * count if stored else 8 + 4 * count), 0
        if name == "jsr":
            return own, 0
        if name in ("lea", "pea"):
            return own + LOCATE.get(ways[0], 0), 0
        if name in SHIFTS and ways[0] != "IMMEDIATE":
            own = max(6, own)
        if ways and ways[-1] in FETCH:
            own += FETCH[ways[-1]] if name in ("tst", "cmpi") else self.clocks_to_store(name, ways[-1])
        sources = [FETCH.get(way, 0) for way in ways[:-1]]
        if "IMMEDIATE" in ways and name not in SHORT:
            sources.append(4 if size == "l" else 2)
        return own + sum(sources), 0

    def clocks_to_store(self, name: str, way: str) -> int:
        """What an instruction takes more whose result goes to memory."""
        if name == "clr":
            return 2 + LOCATE.get(way, 2)
        if name in ("add", "addq", "sub", "subq", "and", "or", "eor"):
            return 2 + FETCH[way]
        assert name in ("move", "movea"), f"{name} to memory has no price here"
        return STORE[way]

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Arguments on the stack, results in d0, or in d0 and d1, the higher word first."""
        m68k, stack, count = self.unicorn.m68k_const, STACK - 64, self.image.width // 32
        values = [words[start : start + count] for start in range(0, len(words), count)]
        ordered = [word for value in values for word in reversed(value)]
        for index, word in enumerate((END, *ordered)):
            self.core.mem_write(stack + 4 * index, word.to_bytes(4, "big"))
        self.core.reg_write(m68k.UC_M68K_REG_A7, stack)
        self.core.emu_start(address, END)
        d0, d1 = (self.core.reg_read(place) for place in (m68k.UC_M68K_REG_D0, m68k.UC_M68K_REG_D1))
        return (d0, d1) if self.image.result_width <= 32 else (d1, d0)


def number_of_registers(text: str) -> int:
    """How many there are in a list such as d2-d7/a2."""
    ranges = [each.split("-") for each in text.split("/")]
    return sum(int(each[-1][1]) - int(each[0][1]) + 1 for each in ranges)
