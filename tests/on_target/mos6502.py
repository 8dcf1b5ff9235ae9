"""A 6502 in py65, which adds a cycle where an index or a branch crosses a page, as the manual has it.

cc65 has no integers of 64 bits. Its product of two bytes is a loop in assembler and far better than one in C,
so C is emitted as for a CPU that has one. C of 8-bit words takes as long as C of 16-bit words, but cc65 2.19
makes wrong code of it, as soon as it optimises, for products, quotients and roots of tiny subnormal numbers.
"""

from __future__ import annotations

from collections.abc import Sequence

from tests import tools
from tests.on_target.images import Image, Toolchain

OPTIONS = ("-t", "sim6502", "-O", "-Oirs", "--standard", "c99")
TOOLCHAIN = Toolchain(16, 8, "cl65", OPTIONS, "cc65")
WITH_STATIC_LOCALS = Toolchain(16, 8, "cl65", (*OPTIONS, "--static-locals"), "cc65")
RETURN_TO, STACK = 0xF800, 0xF000  # the stack is the compiler's, which grows down from here


class Mos6502:
    """A 6502, with arguments where cc65 has them: the last in A, X and `sreg`, the others on its stack."""

    def __init__(self, image: Image) -> None:
        mpu6502 = tools.simulator("py65.devices.mpu6502", "py65")
        self.image = image
        self.memory = bytearray(1 << 16)
        for start, data in image.segments:
            self.memory[start : start + len(data)] = data
        self.cpu = mpu6502.MPU(memory=self.memory)
        self.sreg, self.sp = image.functions["sreg"], image.functions["sp"]

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return."""
        cpu, memory = self.cpu, self.memory
        stack = STACK
        for operand in operands[:-1]:
            stack -= 4
            memory[stack : stack + 4] = operand.to_bytes(4, "little")
        memory[self.sp : self.sp + 2] = stack.to_bytes(2, "little")
        last = operands[-1].to_bytes(4, "little")
        cpu.a, cpu.x, memory[self.sreg : self.sreg + 2] = last[0], last[1], last[2:]
        cpu.sp = 0xFF
        cpu.stPushWord(RETURN_TO - 1)
        cpu.pc, cpu.processorCycles = self.image.address(operation), 0
        while cpu.pc != RETURN_TO:
            cpu.step()
        result = bytes([cpu.a, cpu.x]) + memory[self.sreg : self.sreg + 2]
        return self.image.defined(int.from_bytes(result, "little")), cpu.processorCycles
