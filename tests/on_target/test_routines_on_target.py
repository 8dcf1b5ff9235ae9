"""Routines of one's own as C on the CPUs it is for: constant tables where constants stay, and what compilers
have been found to take badly.
"""

from __future__ import annotations

import subprocess
from functools import reduce
from operator import xor
from pathlib import Path

import pytest

from softfloat_py.routines.language import Bits, add_modulo, field, look_up, resize
from softfloat_py.routines.tables import Table
from tests import tools
from tests.on_target import z80_cpu
from tests.on_target.cpus import CPUS, Cpu
from tests.on_target.images import Image, compiled_unit, unit_of_routine

pytestmark = pytest.mark.on_target

# Powers of 3, 7, 5 and 9 in types of 8, 16 and 32 bits and in several words.
TABLES = (
    Table(tuple(3**n for n in range(6)), 8, "gains"),
    Table(tuple(7**n for n in range(6)), 16, "periods"),
    Table(tuple(5**n for n in range(14)), 32, "heights"),
    Table(tuple(9**n for n in range(16)), 51, "energies"),
)


def entries(x: Bits) -> Bits:
    """An entry of each table, by four bits of x each, joined by exclusive or; of the widest, its ends."""
    return (
        look_up(TABLES[0], resize((x & 15), 4))
        ^ look_up(TABLES[1], resize((x >> 4 & 15), 4))
        ^ look_up(TABLES[2], resize((x >> 8 & 15), 4))
        ^ resize(look_up(TABLES[3], resize((x >> 12 & 15), 4)) & 0xFFFFFFFF, 32)
        ^ (look_up(TABLES[3], resize((x >> 12 & 15), 4)) >> 32)
    )


def entries_in_python(x: int) -> int:
    """What `entries` delivers."""
    found = [table.entries[x >> (4 * place) & 15] for place, table in enumerate(TABLES)]
    return reduce(xor, [*found[:3], found[3] & 0xFFFFFFFF, found[3] >> 32])


def image_of(cpu: Cpu, folder: Path) -> Image:
    """The routine compiled for a CPU."""
    return compiled_unit(cpu.toolchain, unit_of_routine(cpu.toolchain, entries), 32, folder)


# Each index of each table.
INDICES = [(n % 6) | (n % 6) << 4 | (n % 14) << 8 | n << 12 for n in range(16)]


@pytest.mark.parametrize("cpu", CPUS, ids=lambda cpu: cpu.name)
def test_every_entry_is_read(cpu: Cpu, tmp_path: Path) -> None:
    """Called without what starts a program up, as nothing copies tables to memory, they are there."""
    simulator = cpu.simulator(image_of(cpu, tmp_path))

    assert [entries_in_python(x) for x in INDICES] == [simulator.call("routine", [x])[0] for x in INDICES]


DATA = 0x800000  # where the linker of an AVR puts data: its own addresses of memory begin here


@pytest.mark.parametrize(
    "cpu", [cpu for cpu in CPUS if cpu.toolchain.compiler == "avr-gcc"], ids=lambda cpu: cpu.name
)
def test_tables_take_no_memory_of_an_avr(cpu: Cpu, tmp_path: Path) -> None:
    """All sections that are copied to memory at the start are empty."""
    image = image_of(cpu, tmp_path)
    elffile = tools.simulator("elftools.elf.elffile", "pyelftools")
    with image.path.open("rb") as stream:
        sections = list(elffile.ELFFile(stream).iter_sections())

    assert [] == [each.name for each in sections if each["sh_addr"] >= DATA and each["sh_size"]]


def test_tables_lie_in_the_code_of_an_8051(tmp_path: Path) -> None:
    """What is const goes to the area CONST, which is of the memory of the program."""
    sdcc = tools.compiler("sdcc", "sdcc")
    unit_of_routine(z80_cpu.TOOLCHAIN, entries).save(tmp_path)
    done = subprocess.run([sdcc, "-mmcs51", "--std-c99", "-S", "buoy.c"], cwd=tmp_path, capture_output=True)

    assert 0 == done.returncode
    text = (tmp_path / "buoy.asm").read_text(encoding="ascii")
    constants = text.partition(".area CONST   (CODE)")[2].partition(".area")[0]
    assert all(f"_buoy_{table.name}:" in constants for table in TABLES)


def lowest_bytes(x: Bits) -> Bits:
    """Lowest bits of what shifts in opposite directions put together, and of sums of it."""
    crossed = field((x >> 8) | (x << 24), 0, 8) ^ field((x << 8) | (x & 0xFF), 0, 5)
    return resize(crossed + (add_modulo((x >> 24) ^ (x << 8), 1, 32) & 0x3F), 32)


@pytest.mark.parametrize("cpu", CPUS, ids=lambda cpu: cpu.name)
def test_lowest_bytes_of_unions_compile_and_are_right(cpu: Cpu, tmp_path: Path) -> None:
    """sdcc 4.2 crashes where it sees that a shift to the left is nothing but zeros in a byte."""
    simulator = cpu.simulator(
        compiled_unit(cpu.toolchain, unit_of_routine(cpu.toolchain, lowest_bytes), 32, tmp_path)
    )
    operands = [0, 1, 0xFF00, 0x12345678, 0xFEDCBA98, 0xFFFFFFFF]

    assert [lowest_bytes(Bits(x, 32)).value for x in operands] == [
        simulator.call("routine", [x])[0] for x in operands
    ]
