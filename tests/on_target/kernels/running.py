"""Kernels compiled for a CPU and run in its simulator: what comes out, cycles of all and of the operations.

A kernel, what calls it and the emitted functions are compiled each by itself and linked. How many cycles are
spent inside the emitted functions is found by making each of the kernel's calls once more alone, on the
operands that it had: in a simulator without caches cycles depend on nothing else, and none has to tell who
spent them.
"""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from softfloat_py.c_export import c_unit
from softfloat_py.engines.c.passing import Passed
from softfloat_py.engines.c.target import target_for
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import Result
from softfloat_py.uses import Use
from tests.on_target.cpus import Cpu
from tests.on_target.images import Image, linked, object_of
from tests.on_target.kernels.c_side import PREFIX, Numbers, name_of
from tests.on_target.kernels.on_host import Call, host_run, outputs_from
from tests.on_target.kernels.pairs import FILES, NAMES, constants, inputs, python_run

MEMORY = Path(__file__).with_name("memory.c")


@dataclass(frozen=True)
class Measured:
    """What a kernel delivered, as encodings, and its cycles: from entry to return, and those spent in the
    emitted functions; None where these take what the simulator passes to none by itself, as integers may be.
    """

    outputs: tuple[int, ...]
    cycles: int
    in_functions: int | None


@dataclass(frozen=True)
class Bench:
    """A CPU and a format, with the emitted functions of all kernels compiled into a folder."""

    cpu: Cpu
    format: Format
    folder: Path

    @cached_property
    def uses(self) -> Sequence[Use]:
        """All operations of all kernels, in the order in which they are first met."""
        return list(dict.fromkeys(use for name in NAMES for use in python_run(name, self.format).calls))

    @cached_property
    def numbers(self) -> Numbers:
        """How the emitted functions pass numbers."""
        chain = self.cpu.toolchain
        target = target_for(chain.word, chain.multiplier)
        number = self.uses[0].signature.results[0]
        unit = c_unit(self.uses, target)
        return Numbers(self.format, unit.prefix, Passed(number, target).bits is None)

    @cached_property
    def functions(self) -> Path:
        """The emitted functions, compiled."""
        chain = self.cpu.toolchain
        unit = c_unit(self.uses, target_for(chain.word, chain.multiplier))
        _, source = unit.save(self.folder)
        return object_of(chain, source)

    def measured(self, name: str) -> Measured:
        """A kernel compiled and run."""
        image = self.image(name)
        simulator = self.cpu.simulator(image)
        _, cycles = simulator.call("kernel", [0])
        outputs = outputs_from(
            lambda place: simulator.call("word", [place])[0],
            self.numbers.words,
            len(python_run(name, self.format).outputs),
        )
        calls = host_run(name, self.format, self.folder / f"{name}-on-host").calls
        return Measured(tuple(outputs), cycles, self.in_functions(image, calls))

    def image(self, name: str) -> Image:
        """A kernel with what it needs, linked."""
        chain, numbers = self.cpu.toolchain, self.numbers
        folder = self.folder / name
        folder.mkdir(parents=True, exist_ok=True)
        run = python_run(name, self.format)
        shutil.copy(self.functions.with_name(f"{numbers.prefix}.h"), folder)
        shutil.copy(FILES / f"{name}.c", folder)
        texts = {
            "numbers.h": numbers.header(run.calls, constants(name)),
            "caller.c": numbers.caller(inputs(name), len(run.outputs)),
        }
        for file, text in texts.items():
            (folder / file).write_text(text, encoding="ascii")
        sources = ["caller.c", f"{name}.c"]
        if "-nostdlib" in (chain.linker or chain).link and numbers.by_address:
            shutil.copy(MEMORY, folder)
            sources.append(MEMORY.name)
        objects = [object_of(chain, folder / source) for source in sources]
        return linked(chain, [*objects, self.functions], f"{PREFIX}_kernel", PREFIX, 32)

    def in_functions(self, image: Image, calls: Sequence[Call]) -> int | None:
        """Cycles of calls, each by itself; None if any number comes out that is not the kernel's, and on CPUs
        of 32 bits for structures, which their simulators do not pass.
        """
        if self.numbers.by_address and self.cpu.toolchain.word == 32:
            return None
        simulator = self.cpu.simulator(replace(image, width=self.format.width, prefix=self.numbers.prefix))
        cycles: dict[Call, int] = {}
        for call in dict.fromkeys(calls):
            result, cycles[call] = simulator.call(name_of(call.use), call.operands)
            is_number = call.use.operation.result is not Result.TRUTH
            if is_number and result % (1 << self.format.width) != call.result:
                return None
        return sum(cycles[call] for call in calls)
