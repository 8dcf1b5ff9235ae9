"""The 8051 that emitted C is run on, beside ucsim's."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from softfloat_py.numbers.formats import binary32
from softfloat_py.options import LEAN
from tests import tools
from tests.on_target.images import Image, Toolchain, compiled
from tests.on_target.mcs51 import LARGE, RETURN_TO, SMALL, STACK, Mcs51, Mcs51WithExternalMemory
from tests.on_target.operands import operands_of

pytestmark = pytest.mark.on_target
CALLS = 20
REGISTERS = (0x82, 0x83, 0xF0, 0xE0)  # DPL, DPH, B and A: the first operand, and the result
STACK_POINTER = 0x81


@pytest.mark.parametrize("operation", ["addition", "multiplication", "division"])
@pytest.mark.parametrize(
    ("chain", "core", "memory"),
    [(SMALL, Mcs51, "iram"), (LARGE, Mcs51WithExternalMemory, "xram")],
    ids=["small", "large"],
)
def test_results_and_clocks_are_those_of_ucsim(
    chain: Toolchain, core: type[Mcs51], memory: str, operation: str, tmp_path: Path
) -> None:
    """Call by call, another simulator delivers the same and takes as many clocks."""
    image = compiled(chain, binary32, LEAN, operation, tmp_path)
    rows = operands_of(operation, binary32, "wide", CALLS).tolist()
    simulator = core(image)

    assert in_ucsim(image, operation, rows, memory) == [simulator.call(operation, row) for row in rows]


def test_memory_model_is_part_of_the_compilers_name() -> None:
    """Cost models describe the code of either by itself."""
    assert ("sdcc", "sdcc-large") == (SMALL.name, LARGE.name)


def in_ucsim(image: Image, operation: str, rows: list[list[int]], memory: str) -> list[tuple[int, int]]:
    """Result and clocks of each call in ucsim, which takes commands and shows what it did."""
    s51 = tools.compiler("s51", "sdcc-ucsim")
    second = image.address(f"{operation}_PARM_2")
    commands = [f"break {RETURN_TO:#x}"]
    for x, y in rows:
        commands += [f"set memory sfr {at:#x} {x >> 8 * n & 0xFF}" for n, at in enumerate(REGISTERS)]
        commands += [f"set memory {memory} {second + n:#x} {y >> 8 * n & 0xFF}" for n in range(4)]
        commands += [f"set memory iram {STACK + 1:#x} {RETURN_TO & 0xFF} {RETURN_TO >> 8}"]
        commands += [
            f"set memory sfr {STACK_POINTER:#x} {STACK + 2}",
            f"pc {image.address(operation):#x}",
            "run",
        ]
        commands += [f"expression /x sfr[{at:#x}]" for at in REGISTERS]
    script = image.path.with_name("calls")
    script.write_text("\n".join([*commands, "quit\n"]), encoding="ascii")
    shown = subprocess.run(
        [s51, "-b", image.path], input=f'exec "{script}"\n', capture_output=True, text=True, check=True
    )
    return [one_call(part) for part in shown.stdout.split("Simulated ")[1:]]


def one_call(shown: str) -> tuple[int, int]:
    """Result and clocks, from what ucsim shows of a call."""
    clocks = re.match(r"\d+", shown)
    result = re.findall(r"^(?:0x)?([0-9a-f]+)$", shown, re.MULTILINE)[: len(REGISTERS)]
    assert clocks is not None
    return sum(int(byte, 16) << 8 * n for n, byte in enumerate(result)), int(clocks[0])
