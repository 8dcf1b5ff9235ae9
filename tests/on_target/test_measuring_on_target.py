"""The program for a board, on cores that are simulated: what it measures is what the simulator counts."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.board.program import Program
from softfloat_py.engines.c.target import target_for
from softfloat_py.options import LEAN
from softfloat_py.pricing.measured_sets import Reading
from softfloat_py.pricing.measurements_file import load_measurements
from softfloat_py.uses import Use
from tests import tools
from tests.board.benches import FILLED_IN, filled_in
from tests.on_target import avr
from tests.on_target.cpus import CPUS, Cpu, Simulator
from tests.on_target.images import Image, Toolchain, compiled, linked, object_of
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


def program_for(chain: Toolchain, operations: Sequence[str] = MEASURED_OPERATIONS) -> Program:
    """The program that measures operations on what a toolchain is for."""
    uses = [Use.named(name, sf.binary32, LEAN) for name in operations]
    return Program(uses, target_for(chain.word, chain.multiplier), 50, "Made for a test.")


@pytest.fixture(scope="module")
def measure(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Cpu], tuple[Any, Path]]:
    """A function that measures on a core: gives the core and the file, completed."""

    def run(cpu: Cpu) -> tuple[Any, Path]:
        folder = tmp_path_factory.mktemp(cpu.name)
        image = image_of(cpu, program_for(cpu.toolchain), folder)
        simulator: Any = cpu.simulator(image)
        text = printed_by(simulator, image.functions["main"])
        path = folder / "measurements.toml"
        path.write_text(filled_in(text).replace(FILLED_IN['cpu = ""'], f'cpu = "{cpu.model}"'))
        return simulator, path

    return run


def assert_measured(reading: Reading, simulator: Simulator, nothing: int) -> None:
    """A reading is what a simulator counts of the same calls, less a function that does nothing."""
    name, calls = reading.use.operation.name, reading.measured_calls
    cycles = np.array([simulator.call(name, row)[1] for row in calls.operands]) - nothing

    assert (cycles.min(), cycles.max()) == (reading.lowest, reading.highest)
    assert cycles.mean() == pytest.approx(reading.mean, abs=0.01)


@pytest.mark.parametrize("cpu", CORES, ids=lambda cpu: cpu.name)
def test_cycles_are_those_of_the_operations(cpu: Cpu, measure: Callable[[Cpu], tuple[Any, Path]]) -> None:
    """Mean, lowest and highest are those of the same calls made by the simulator, to the cycle; and a model
    fitted to them is near each operation.
    """
    simulator, path = measure(cpu)
    for reading in load_measurements(path).readings:
        assert_measured(reading, simulator, RETURN)
    found = sf.calibrate(str(cpu.model), path)

    assert ["moves_a_step"] == list(found.figures)
    for measurement, left in zip(found.measurements, found.residuals, strict=True):
        assert abs(left) < 0.25 * measurement.cycles


def test_the_timer_of_an_atmega_measures_an_atmega(tmp_path: Path) -> None:
    """On an ATmega328P in simavr, its own 16-bit timer and its serial line give what the simulator counts.

    RET takes 4 cycles (AVR Instruction Set Manual, from memory), all that a function has that does nothing.
    """
    text = printed_by_an_atmega(program_for(avr.ATMEGA, ["multiplication"]), tmp_path)
    path = tmp_path / "measurements.toml"
    path.write_text(filled_in(text), encoding="utf-8")
    (reading,) = load_measurements(path).readings
    simulator = avr.Atmega328P(compiled(avr.ATMEGA, sf.binary32, LEAN, "multiplication", tmp_path / "alone"))

    assert_measured(reading, simulator, 4)


def printed_by_an_atmega(program: Program, folder: Path) -> str:
    """What a program prints on the serial line of an ATmega in simavr, which shows each line end as a dot."""
    simavr = tools.compiler("simavr", "simavr")
    serial = ("-DSTART_BOARD()=(UCSR0B = 8)", "-DPUT_CHARACTER(character)=(UDR0 = (uint8_t)(character))")
    chain = replace(avr.ATMEGA, options=(*avr.ATMEGA.options, "-DTIMER_AVR_1", "-Dmain=measure", *serial))
    sources = [path for path in program.save(folder) if path.suffix == ".c"]
    objects = [object_of(chain, source) for source in sources]
    command = [chain.find(), *avr.ATMEGA.options, str(BOARD.with_name("atmega_board.c")), *map(str, objects)]
    subprocess.run([*command, "-o", "image.elf"], cwd=folder, check=True)
    run = [simavr, "-m", "atmega328p", "-f", "16000000", "image.elf"]
    done = subprocess.run(run, cwd=folder, capture_output=True, text=True, timeout=60, check=True)
    lines = re.sub(r"\x1b\[\d*m", "", done.stdout + done.stderr).splitlines()
    return "\n".join(line.removesuffix(".") for line in lines if line.endswith("."))


CHAINS = {cpu.name: cpu.toolchain for cpu in CPUS}
# The counters of RISC-V are an extension, Zicsr, which newer compilers want to be told.
COUNTING = replace(CHAINS["RV32IMC"], options=("-O2", "-std=c99", "-march=rv32imc_zicsr", "-mabi=ilp32"))
TIMERS = {
    "TIMER_SYSTICK": CHAINS["Cortex-M0+"],
    "TIMER_DWT": CHAINS["Cortex-M3"],
    "TIMER_RDCYCLE": COUNTING,
    "TIMER_AVR_1": CHAINS["ATmega328P"],
}


@pytest.mark.parametrize("timer", TIMERS)
def test_ready_timers_compile(timer: str, tmp_path: Path) -> None:
    """Each timer that measure.h has compiles for a CPU that has it, without a warning."""
    chain = TIMERS[timer]
    _, _, _, main = program_for(chain).save(tmp_path)
    main.write_text("extern void put_one(int character);\n" + main.read_text(), encoding="ascii")
    strict = ("-Wall", "-Wextra", "-Werror", f"-D{timer}", "-DPUT_CHARACTER(character)=put_one(character)")

    assert object_of(replace(chain, options=(*chain.options, *strict)), main).exists()


OWN_TIMER = """
#include <stdint.h>
#define TIMER_NAME "a chip beside it"
#define TIMER_BITS 8
#define START_TIMER() (*(volatile uint8_t *)0xFF01 = 1)
#define READ_TIMER() (*(volatile uint8_t *)0xFF00)
#define PUT_CHARACTER(character) (*(volatile uint8_t *)0xFF02 = (character))
"""
# On an 8051, functions with several parameters are called by a pointer only if these are on the stack.
WITH_POINTERS = {"8051": ("--stack-auto",)}


@pytest.mark.parametrize("cpu", ["Z80", "6502", "8051"])
def test_a_timer_of_ones_own_is_enough(cpu: str, tmp_path: Path) -> None:
    """For small CPUs without a timer of their own, the program compiles with that of another chip."""
    chain = CHAINS[cpu]
    _, _, _, main = program_for(chain, ["addition"]).save(tmp_path)
    main.write_text(OWN_TIMER + main.read_text(), encoding="ascii")

    options = (*chain.options, *WITH_POINTERS.get(cpu, ()))
    assert object_of(replace(chain, options=options), main).exists()
