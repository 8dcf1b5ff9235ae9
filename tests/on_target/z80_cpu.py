"""A Z80 in the z80 package; cycles are its T-states."""

from __future__ import annotations

from collections.abc import Sequence

from tests import tools
from tests.on_target.images import Image, Toolchain

TOOLCHAIN = Toolchain(
    word=8,
    multiplier=0,
    compiler="sdcc",
    options=("-mz80", "--std-c99", "--opt-code-speed", "--max-allocs-per-node", "20000"),
    package="sdcc",
    link=("--code-loc", "0x0200", "--data-loc", "0xC000"),
)
RETURN_TO, STACK, STRUCTURES, RESULT = 0xF000, 0xEF00, 0xE000, 0xE100
TICKS = 10**8


class Z80:
    """A Z80, with arguments where sdcc's convention for it has them."""

    def __init__(self, image: Image) -> None:
        z80 = tools.simulator("z80", "z80")
        self.image = image
        self.machine = z80.Z80Machine()
        for start, data in image.segments:
            self.machine.set_memory_block(start, data)
        self.machine.set_breakpoint(RETURN_TO)

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and T-states of a call, from entry to return."""
        machine, image, size = self.machine, self.image, self.image.width // 8
        arguments = [(operand, size) for operand in operands]
        if image.width > 32:
            arguments = [(STRUCTURES + size * index, 2) for index in range(len(operands))]
            for (place, _), operand in zip(arguments, operands, strict=True):
                machine.set_memory_block(place, operand.to_bytes(size, "little"))
        if image.result_width > 32:
            arguments.append((RESULT, 2))
        on_stack = self.without_those_in_registers(arguments)
        stack = [(RETURN_TO, 2), *on_stack]
        machine.set_memory_block(STACK, b"".join(value.to_bytes(size, "little") for value, size in stack))
        machine.sp, machine.pc = STACK, self.image.address(operation)
        cycles = self.run()
        if image.result_width > 32:
            result = bytes(machine.memory[RESULT : RESULT + image.result_bytes])
            return int.from_bytes(result, "little"), cycles
        in_registers = machine.a if image.result_bytes == 1 else machine.hl << 16 | machine.de
        return image.defined(in_registers), cycles

    def without_those_in_registers(self, arguments: Sequence[tuple[int, int]]) -> Sequence[tuple[int, int]]:
        """Put arguments of so many bytes into registers, as far as they go there; gives the others: the first
        of four bytes goes into HL and DE, otherwise the first two that have two bytes into one of these each.
        """
        machine, (first, size), others = self.machine, arguments[0], arguments[1:]
        if size == 4:
            machine.de, machine.hl = first & 0xFFFF, first >> 16
            return others
        machine.hl = first
        if others and others[0][1] == 2:
            machine.de = others[0][0]
            return others[1:]
        return others

    def run(self) -> int:
        """Run to the return; gives the T-states."""
        machine = self.machine
        machine.ticks_to_stop = TICKS
        while machine.pc != RETURN_TO:
            machine.run()
        return TICKS - int(machine.ticks_to_stop)
