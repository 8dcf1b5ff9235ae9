"""CPUs that unicorn runs: it executes blocks of instructions; each block is priced once by a CPU's table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from tests import tools
from tests.on_target.images import Image

MEMORY = 0x100000
STACK = 0x80000
END = 0x90000  # where calls return to


class Block(NamedTuple):
    """A block's own price, where it ends, and what more it costs to leave it by its last branch."""

    cycles: int
    end: int
    if_taken: int


class UnicornCore:
    """A 32-bit core; cycles are a sum over blocks. Subclasses say which core, and price instructions."""

    def __init__(self, image: Image) -> None:
        self.unicorn = tools.simulator("unicorn", "unicorn")
        self.capstone = tools.simulator("capstone", "capstone")
        self.image = image
        self.core, self.disassembler = self.started()
        self.core.mem_map(0, MEMORY)
        for start, data in image.segments:
            self.core.mem_write(start, data)
        self.blocks: dict[tuple[int, int], Block] = {}
        self.cycles, self.last = 0, Block(0, 0, 0)
        self.core.hook_add(self.unicorn.UC_HOOK_BLOCK, self.enter_block)

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        raise NotImplementedError

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """Cycles of an instruction, and what more a branch costs when it is taken.

        `before` is the instruction before it in its block, if there is one.
        """
        raise NotImplementedError

    def enter_block(self, core: Any, address: int, size: int, data: Any) -> None:
        """Called by unicorn before each block."""
        if self.last.if_taken and address != self.last.end:
            self.cycles += self.last.if_taken
        block = self.blocks.get((address, size))
        if block is None:
            block = self.blocks[address, size] = self.priced(address, size)
        self.cycles += block.cycles
        self.last = block

    def priced(self, address: int, size: int) -> Block:
        """A block's price by the CPU's table."""
        code = bytes(self.core.mem_read(address, size))
        instructions = list(self.disassembler.disasm(code, address))
        assert size == sum(instruction.size for instruction in instructions), (
            f"not disassembled: {code.hex()}"
        )
        prices = [self.price(*pair) for pair in zip(instructions, [None, *instructions], strict=False)]
        return Block(sum(cycles for cycles, _ in prices), address + size, prices[-1][1])

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return."""
        words = [
            operand >> shift & 0xFFFFFFFF for operand in operands for shift in range(0, self.image.width, 32)
        ]
        self.cycles, self.last = 0, Block(0, 0, 0)
        results = self.run(self.image.address(operation), words)
        return sum(results[i] << (32 * i) for i in range(self.image.width // 32)), self.cycles

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Call a function with words in registers; gives the two result registers."""
        raise NotImplementedError
