"""CPUs that unicorn runs: it executes blocks of instructions; each block is priced once by a CPU's table."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from tests import tools
from tests.on_target.images import Image

MEMORY = 0x100000
STACK = 0x80000
END = 0x90000  # where calls return to
WORDS = re.compile(r"\w+")


class Block(NamedTuple):
    """A block's own price, where it ends, and what more it costs to leave it by its last branch."""

    cycles: int
    end: int
    if_taken: int


class UnicornCore:
    """A 32-bit core; cycles are a sum over blocks. Subclasses say which core, and price instructions."""

    # Whether there are instructions whose cycles depend on what is in registers.
    depends_on_operands = False

    def __init__(self, image: Image) -> None:
        self.unicorn = tools.simulator("unicorn", "unicorn")
        self.capstone = tools.simulator("capstone", "capstone")
        self.image = image
        self.core, self.disassembler = self.started()
        self.core.mem_map(0, MEMORY)
        for start, data in image.segments:
            self.core.mem_write(start, data)
        self.blocks: dict[tuple[int, int], Block] = {}
        self.more: dict[int, Callable[[], int]] = {}
        self.cycles, self.last = 0, Block(0, 0, 0)
        self.core.hook_add(self.unicorn.UC_HOOK_BLOCK, self.enter_block)
        if self.depends_on_operands:
            self.core.hook_add(self.unicorn.UC_HOOK_CODE, self.enter_instruction)

    def started(self) -> tuple[Any, Any]:
        """The core and a disassembler for it."""
        raise NotImplementedError

    def price(self, instruction: Any, before: Any | None) -> tuple[int, int]:
        """Cycles of an instruction, and what more a branch costs when it is taken.

        `before` is the instruction before it in its block, if there is one.
        """
        raise NotImplementedError

    def wait(self, instruction: Any) -> tuple[Sequence[str], int]:
        """Registers or instructions that wait for an instruction's result, and for how long after its end."""
        return (), 0

    def by_operands(self, instruction: Any) -> Callable[[], int] | None:
        """What gives further cycles of an instruction, from registers as they are before it."""
        return None

    def enter_block(self, core: Any, address: int, size: int, data: Any) -> None:
        """Called by unicorn before each block."""
        if self.last.if_taken and address != self.last.end:
            self.cycles += self.last.if_taken
        block = self.blocks.get((address, size))
        if block is None:
            block = self.blocks[address, size] = self.priced(address, size)
        self.cycles += block.cycles
        self.last = block

    def enter_instruction(self, core: Any, address: int, size: int, data: Any) -> None:
        """Called by unicorn before each instruction, after `enter_block`."""
        if address in self.more:
            self.cycles += self.more[address]()

    def priced(self, address: int, size: int) -> Block:
        """A block's price by the CPU's table."""
        code = bytes(self.core.mem_read(address, size))
        instructions = list(self.disassembler.disasm(code, address))
        assert size == sum(instruction.size for instruction in instructions), (
            f"not disassembled: {code.hex()}"
        )
        prices = [self.price(*pair) for pair in zip(instructions, [None, *instructions], strict=False)]
        for instruction in instructions:
            more = self.by_operands(instruction)
            if more is not None:
                self.more[instruction.address] = more
        cycles = [cycles for cycles, _ in prices]
        return Block(sum(cycles) + self.waits(instructions, cycles), address + size, prices[-1][1])

    def waits(self, instructions: Sequence[Any], cycles: Sequence[int]) -> int:
        """Cycles that instructions of a block wait for results of others: the sum."""
        clock, waited, ready = 0, 0, dict[str, int]()
        for instruction, own in zip(instructions, cycles, strict=True):
            used = WORDS.findall(f"{instruction.mnemonic} {instruction.op_str}")
            waiting = max([0, *(ready.get(register, 0) - clock for register in used)])
            waited, clock = waited + waiting, clock + waiting + own
            waiting_for_it, after = self.wait(instruction)
            ready.update(dict.fromkeys(waiting_for_it, clock + after))
        return waited

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return."""
        words = [
            operand >> shift & 0xFFFFFFFF for operand in operands for shift in range(0, self.image.width, 32)
        ]
        self.cycles, self.last = 0, Block(0, 0, 0)
        results = self.run(self.image.address(operation), words)
        return self.image.defined(results[0] | results[1] << 32), self.cycles

    def put_words(self, address: int, words: Sequence[int]) -> None:
        """Put words into memory, the lower byte first."""
        self.core.mem_write(address, b"".join(word.to_bytes(4, "little") for word in words))

    def run(self, address: int, words: Sequence[int]) -> tuple[int, int]:
        """Call a function with words as arguments; gives the two result registers."""
        raise NotImplementedError
