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
RETURN_TO, STACK, STRUCTURES = 0xF000, 0xEF00, 0xE000
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
        machine, size = self.machine, self.image.width // 8
        stack = RETURN_TO.to_bytes(2, "little")
        if self.image.width == 16:
            machine.hl, machine.de = operands[0], operands[-1]
            stack += b"".join(operand.to_bytes(size, "little") for operand in operands[2:])
        elif self.image.width <= 32:
            machine.de, machine.hl = operands[0] & 0xFFFF, operands[0] >> 16
            stack += b"".join(operand.to_bytes(size, "little") for operand in operands[1:])
        else:
            places = [STRUCTURES + size * index for index in range(len(operands) + 1)]
            for place, operand in zip(places, operands, strict=False):
                machine.set_memory_block(place, operand.to_bytes(size, "little"))
            machine.hl, machine.de = places[0], places[1]
            stack += b"".join(place.to_bytes(2, "little") for place in places[2:])
        machine.set_memory_block(STACK, stack)
        machine.sp, machine.pc = STACK, self.image.address(operation)
        cycles = self.run()
        if self.image.width == 16:
            return int(machine.de), cycles
        if self.image.width <= 32:
            return machine.hl << 16 | machine.de, cycles
        place = STRUCTURES + size * len(operands)
        return int.from_bytes(bytes(machine.memory[place : place + size]), "little"), cycles

    def run(self) -> int:
        """Run to the return; gives the T-states."""
        machine = self.machine
        machine.ticks_to_stop = TICKS
        while machine.pc != RETURN_TO:
            machine.run()
        return TICKS - int(machine.ticks_to_stop)
