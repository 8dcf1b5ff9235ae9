"""A file of measurements, invented for the tests: two operations on a board of the buoy's."""

from __future__ import annotations

BOARD = """
who = "the buoy's crew"
board = "the buoy's board, second revision"
cpu = "RP2040"
clock_mhz = 12
compiler = "GCC 12.2.0"
compiler_options = "-O2 -mcpu=cortex-m0plus"
date = "2026-03-31"
timer = "SysTick"
cycles_per_tick = 1
repeats = 1
arithmetic = "lean"
emitted_for = "--word 32 --multiplier 16"

[[operations]]
operation = "addition"
format = "binary32"
calls = 50
mean = 90.5
lowest = 61
highest = 127
checksum = 0xb5c9bcf8

[[operations]]
operation = "division"
format = "binary32"
calls = 50
mean = 420.25
lowest = 390
highest = 441
checksum = 0x6c5982fc
"""


def changed(*changes: tuple[str, str], text: str = BOARD) -> str:
    """The file with some parts of it replaced, each of which it must have."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text
