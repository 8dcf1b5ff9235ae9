"""8-bit AVRs in libsimavr: an ATmega328P with the hardware multiplier, an ATtiny85 without, and an
ATmega1284P with the core of the former and four times its flash. Cycles are the simulator's own.
"""

from __future__ import annotations

import ctypes
import subprocess
from collections.abc import Sequence
from pathlib import Path

from tests import tools
from tests.on_target.images import Image, Toolchain

OPTIONS = ("-O2", "-std=c99")
LINK = ("-nodefaultlibs", "-lgcc")
ATMEGA = Toolchain(8, 8, "avr-gcc", (*OPTIONS, "-mmcu=atmega328p"), "gcc-avr avr-libc", LINK, main=True)
LARGE_ATMEGA = Toolchain(
    8, 8, "avr-gcc", (*OPTIONS, "-mmcu=atmega1284p"), "gcc-avr avr-libc", LINK, main=True
)
ATTINY = Toolchain(8, 0, "avr-gcc", (*OPTIONS, "-mmcu=attiny85"), "gcc-avr avr-libc", LINK, main=True)
DRIVER = Path(__file__).with_name("avr_driver.c")
STRUCTURES, RESULT = 0x140, 0x160  # in memory: operands and result that are passed by address
DATA = 0x800000  # what the linker adds to addresses of memory
FIRST_ARGUMENT = 26  # registers are handed out from here down, an even number each


class Avr:
    """An AVR; `mcu` is its name in the simulator."""

    mcu = ""

    def __init__(self, image: Image) -> None:
        self.image = image
        self.library = ctypes.CDLL(str(built_driver(image.path.parent)))
        self.library.avr_open.restype = ctypes.c_void_p
        self.library.avr_memory.restype = ctypes.POINTER(ctypes.c_uint8)
        self.library.avr_call.restype = ctypes.c_uint64
        opened = self.library.avr_open(self.mcu.encode())
        assert opened, f"libsimavr does not know {self.mcu}"
        self.avr = ctypes.c_void_p(opened)
        for start, code in image.segments:
            self.library.avr_loadcode(self.avr, code, ctypes.c_uint32(len(code)), ctypes.c_uint32(start))
        self.memory = self.library.avr_memory(self.avr)
        for start, data in image.copied_at_start:
            self.write(start - DATA, int.from_bytes(data, "little"), len(data))

    def call(self, operation: str, operands: Sequence[int]) -> tuple[int, int]:
        """Result and cycles of a call, from entry to return."""
        image, size = self.image, self.image.width // 8
        arguments = [(operand, size) for operand in operands]
        if image.width > 32:
            for index, operand in enumerate(operands):
                self.write(STRUCTURES + size * index, operand, size)
            arguments = [(STRUCTURES + size * index, 2) for index in range(len(operands))]
        if image.result_width > 32:
            arguments.append((RESULT, 2))
        self.set_registers(arguments)
        cycles = int(self.library.avr_call(self.avr, ctypes.c_uint32(image.address(operation))))
        place = RESULT if image.result_width > 32 else FIRST_ARGUMENT - even(image.result_bytes)
        return image.defined(self.read(place, image.result_bytes)), cycles

    def set_registers(self, arguments: Sequence[tuple[int, int]]) -> None:
        """Arguments, each of so many bytes, where the compiler expects them."""
        place = FIRST_ARGUMENT
        for argument, size in arguments:
            place -= even(size)
            self.write(place, argument, size)

    def write(self, place: int, number: int, size: int) -> None:
        """Put a number into memory."""
        for index, byte in enumerate(number.to_bytes(size, "little")):
            self.memory[place + index] = byte

    def read(self, place: int, size: int) -> int:
        """Take a number from memory."""
        return int.from_bytes(bytes(self.memory[place : place + size]), "little")


class Atmega328P(Avr):
    """With the hardware multiplier."""

    mcu = "atmega328p"


class Atmega1284P(Avr):
    """The same core with 128 KiB of flash, which its program counter of 16 bits reaches."""

    mcu = "atmega1284p"


class Attiny85(Avr):
    """Without one."""

    mcu = "attiny85"


def even(size: int) -> int:
    """How many registers are taken by so many bytes."""
    return size + size % 2


def built_driver(folder: Path) -> Path:
    """The driver compiled for this machine."""
    gcc = tools.compiler("gcc", "gcc")
    if not Path("/usr/include/simavr/sim_avr.h").exists():
        tools.missing("libsimavr is not installed; on Debian: apt-get install libsimavr-dev libelf-dev")
    output = folder / "avr_driver.so"
    command = [gcc, "-O2", "-shared", "-fPIC", "-o", str(output), str(DRIVER), "-lsimavr"]
    built = subprocess.run(command, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stderr
    return output
