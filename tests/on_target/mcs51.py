"""An 8051 at 12 clocks a machine cycle; cycles are clocks.

With sdcc's small model all variables are in the 128 bytes of internal memory that have addresses of their
own. A single operation fits, but not a multiplication in products of bytes, for which sdcc 4.2 calls a
function of its library instead of MUL: it is compiled without them. With the large model variables are in
external memory.
"""

from __future__ import annotations

from collections.abc import Sequence

from tests.on_target import mcs51_core
from tests.on_target.images import Image, Toolchain
from tests.on_target.mcs51_core import DPH, DPL, PSW, SP, A, B

OPTIONS = ("--std-c99", "--opt-code-speed")
SMALL = Toolchain(8, 0, "sdcc", ("-mmcs51", "--model-small", *OPTIONS), "sdcc", ("-Wl-j",))
LARGE = Toolchain(8, 8, "sdcc", ("-mmcs51", "--model-large", *OPTIONS), "sdcc", ("-Wl-j",))
RETURN_TO = 0xFFF0
STACK = 0xC0  # in memory that is reached by pointers only, where no variables are
CLOCKS = 12  # of a machine cycle
FIRST_ARGUMENT = (DPL, DPH, B, A)  # lowest byte first; results too


class Mcs51:
    """An 8051, with arguments where sdcc has them: the first in registers, the others in memory."""

    def __init__(self, image: Image) -> None:
        self.image = image
        self.core = mcs51_core.Mcs51Core()
        for start, data in image.segments:
            self.core.code[start : start + len(data)] = data
        self.arguments = self.core.data

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and clocks of a call, from entry to return."""
        core, data = self.core, self.core.data
        first, *others = (operand.to_bytes(4, "little") for operand in operands)
        for place, byte in zip(FIRST_ARGUMENT, first, strict=True):
            data[place] = byte
        for index, operand in enumerate(others, start=2):
            place = self.image.address(f"{operation}_PARM_{index}")
            self.arguments[place : place + 4] = operand
        data[PSW], data[SP] = 0, STACK
        core.pc = RETURN_TO
        core.push_pc()
        core.pc, core.machine_cycles = self.image.address(operation), 0
        core.run(RETURN_TO)
        result = bytes(data[place] for place in FIRST_ARGUMENT)
        return self.image.defined(int.from_bytes(result, "little")), CLOCKS * core.machine_cycles


class Mcs51WithExternalMemory(Mcs51):
    """The same with sdcc's large model: variables and arguments in external memory."""

    def __init__(self, image: Image) -> None:
        super().__init__(image)
        self.arguments = self.core.external
