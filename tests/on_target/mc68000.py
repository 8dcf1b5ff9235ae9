"""An MC68000 in machine68k: multiplications and long shifts take the time their operands ask for. An addition
or a logic step on registers of 32 bits takes 6 clocks there, where the manual has 8.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from tests import tools
from tests.on_target.images import START, Image, Toolchain

TOOLCHAIN = Toolchain(
    word=16,
    multiplier=16,
    compiler="m68k-linux-gnu-gcc",
    options=("-O2", "-std=c99", "-m68000"),
    package="gcc-m68k-linux-gnu",
    link=("-ffreestanding", "-fno-pic", "-static", "-nostdlib", f"-Wl,-Ttext={START:#x}", "-lgcc"),
)
RETURN_TO, STACK, STRUCTURES, RESULT = 0x1000, 0x30000, 0x38000, 0x38100
A_LINE = 0xA000  # an instruction that ends a run
STOP_CYCLES = 4  # of that instruction, which is none of the function's


@cache
def the_machine() -> Any:
    """The one machine there can be: all that a process makes share their state."""
    machine68k = tools.simulator("machine68k", "machine68k")
    machine = machine68k.Machine(machine68k.CPUType.M68000, 256)
    machine.mem.w16(RETURN_TO, A_LINE | machine.traps.alloc(lambda opcode, pc: None))
    return machine


class Mc68000:
    """An MC68000 with a program, which is put into memory whenever another one was there."""

    loaded: Image | None = None

    def __init__(self, image: Image) -> None:
        self.image = image
        machine = the_machine()
        self.cpu, self.memory = machine.cpu, machine.mem
        self.d0 = tools.simulator("machine68k", "machine68k").Register.D0

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return."""
        if Mc68000.loaded is not self.image:
            for start, data in self.image.segments:
                self.memory.w_block(start, data)
            Mc68000.loaded = self.image
        image, size = self.image, self.image.width // 8
        self.memory.w32(STACK, RETURN_TO)
        arguments = list(operands)
        if image.width > 32:
            arguments = [STRUCTURES + size * index for index in range(len(operands))]
            for place, operand in zip(arguments, operands, strict=True):
                self.write(place, operand, size)
        if image.result_width > 32:
            arguments.append(RESULT)
        for index, argument in enumerate(arguments):
            self.memory.w32(STACK + 4 * (index + 1), argument)
        self.cpu.w_sp(STACK)
        self.cpu.w_pc(self.image.address(operation))
        cycles = self.cpu.execute(10**7).cycles - STOP_CYCLES
        if image.result_width > 32:
            return self.read(RESULT, image.result_bytes), cycles
        return image.defined(self.cpu.r_reg(self.d0)), cycles

    def write(self, place: int, number: int, size: int) -> None:
        """Put a number into a structure: words of 32 bits, the lowest first."""
        for index in range(0, size, 4):
            self.memory.w32(place + index, number >> (8 * index) & 0xFFFFFFFF)

    def read(self, place: int, size: int) -> int:
        """Take a number from a structure."""
        return sum(int(self.memory.r32(place + index)) << (8 * index) for index in range(0, size, 4))
