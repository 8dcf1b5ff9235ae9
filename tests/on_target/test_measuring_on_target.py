"""The program for a board, on cores that are simulated: what it measures is what the simulator counts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.board.program import Program
from softfloat_py.engines.c.target import target_for
from softfloat_py.options import LEAN
from softfloat_py.pricing.measurements_file import load_measurements
from softfloat_py.uses import Use
from tests.board.benches import FILLED_IN, filled_in
from tests.on_target.cpus import CPUS, Cpu
from tests.on_target.images import Image, linked, object_of
from tests.on_target.measuring import MEASURED_OPERATIONS

pytestmark = pytest.mark.on_target
BOARD = Path(__file__).with_name("simulated_board.h")
TIMER, CHARACTERS = 0xF0000, 0xF0004
CORES = [cpu for cpu in CPUS if cpu.name in ("Cortex-M0+", "RV32IMC")]
RETURN = (
    2  # cycles of bx lr on a Cortex-M0+, of ret on the RV32IMC: all that a function has that does nothing
)


def image_of(cpu: Cpu, program: Program, folder: Path) -> Image:
    """The program compiled for a core."""
    sources = [path for path in program.save(folder) if path.suffix == ".c"]
    chain = replace(cpu.toolchain, options=(*cpu.toolchain.options, "-include", str(BOARD)))
    objects = [object_of(chain, source) for source in sources]
    return linked(cpu.toolchain, objects, "main", program.unit.prefix, 32)


def printed_by(simulator: Any, main: int) -> str:
    """What a program prints on a core whose timer is the simulator's count of cycles."""
    characters: list[str] = []

    def read(core: Any, *_: Any) -> None:
        core.mem_write(TIMER, simulator.cycles.to_bytes(4, "little"))

    def written(core: Any, access: int, address: int, size: int, value: int, data: Any) -> None:
        characters.append(chr(value))

    core, unicorn = simulator.core, simulator.unicorn
    core.hook_add(unicorn.UC_HOOK_MEM_READ, read, begin=TIMER, end=TIMER + 3)
    core.hook_add(unicorn.UC_HOOK_MEM_WRITE, written, begin=CHARACTERS, end=CHARACTERS + 3)
    simulator.run(main, [])
    return "".join(characters)


@pytest.fixture(scope="module")
def measure(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Cpu], tuple[Any, Path]]:
    """A function that measures on a core: gives the core and the file, completed."""

    def run(cpu: Cpu) -> tuple[Any, Path]:
        folder = tmp_path_factory.mktemp(cpu.name)
        target = target_for(cpu.toolchain.word, cpu.toolchain.multiplier)
        uses = [Use.named(name, sf.binary32, LEAN) for name in MEASURED_OPERATIONS]
        image = image_of(cpu, Program(uses, target, 50, "Made for a test."), folder)
        simulator: Any = cpu.simulator(image)
        text = printed_by(simulator, image.functions["main"])
        path = folder / "measurements.toml"
        path.write_text(filled_in(text).replace(FILLED_IN['cpu = ""'], f'cpu = "{cpu.model}"'))
        return simulator, path

    return run


@pytest.mark.parametrize("cpu", CORES, ids=lambda cpu: cpu.name)
def test_cycles_are_those_of_the_operations(cpu: Cpu, measure: Callable[[Cpu], tuple[Any, Path]]) -> None:
    """Mean, lowest and highest are those of the same calls made by the simulator, to the cycle; and a model
    fitted to them is near each operation.
    """
    simulator, path = measure(cpu)
    measured = load_measurements(path)
    for reading in measured.readings:
        name, calls = reading.use.operation.name, reading.measured_calls
        cycles = np.array([simulator.call(name, row)[1] for row in calls.operands]) - RETURN

        assert (cycles.min(), cycles.max()) == (reading.lowest, reading.highest)
        assert cycles.mean() == pytest.approx(reading.mean, abs=0.01)
    found = sf.calibrate(str(cpu.model), path)

    assert ["moves_a_step"] == list(found.figures)
    for measurement, left in zip(found.measurements, found.residuals, strict=True):
        assert abs(left) < 0.25 * measurement.cycles
