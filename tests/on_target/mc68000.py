"""An MC68000 in machine68k: multiplications and long shifts take the time their operands ask for."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.on_target.images import START, Image, Toolchain

TOOLCHAIN = Toolchain(
    word=32,
    multiplier=16,
    compiler="m68k-linux-gnu-gcc",
    options=("-O2", "-std=c99", "-m68000"),
    package="gcc-m68k-linux-gnu",
    link=("-ffreestanding", "-fno-pic", "-static", "-nostdlib", f"-Wl,-Ttext={START:#x}", "-lgcc"),
)
RETURN_TO, STACK = 0x1000, 0x30000
A_LINE = 0xA000  # an instruction that ends a run
STOP_CYCLES = 4  # of that instruction, which is none of the function's


class Mc68000:
    """An MC68000."""

    def __init__(self, image: Image) -> None:
        machine68k = pytest.importorskip("machine68k", reason="needs machine68k from PyPI")
        self.image = image
        self.machine = machine68k.Machine(machine68k.CPUType.M68000, 256)
        self.cpu, self.memory = self.machine.cpu, self.machine.mem
        for start, data in image.segments:
            self.memory.w_block(start, data)
        self.memory.w16(RETURN_TO, A_LINE | self.machine.traps.alloc(lambda opcode, pc: None))
        self.d0, self.d1 = machine68k.Register.D0, machine68k.Register.D1

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return."""
        width = self.image.width
        place = STACK
        self.memory.w32(place, RETURN_TO)
        for operand in operands:
            for shift in range(width - 32, -1, -32):
                place += 4
                self.memory.w32(place, operand >> shift & 0xFFFFFFFF)
        self.cpu.w_sp(STACK)
        self.cpu.w_pc(self.image.address(operation))
        cycles = self.cpu.execute(10**7).cycles - STOP_CYCLES
        first, second = self.cpu.r_reg(self.d0), self.cpu.r_reg(self.d1)
        return (first << 32 | second if width == 64 else first), cycles
