"""Kernels in pairs: a Python file, which the library runs and prices, and the same in C as written for a CPU.

`files/NAME.py` is a kernel file. Its constants have names in capitals, and floats go in, and come out, in
the order in which they stand in arguments and results. `files/NAME.c` has `kernel(in, out)` with the same
order in memory, and the operations of the emitted C by their names (`c_side`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

import softfloat_py as sf
from softfloat_py.kernels import KernelFile, load_kernel_file
from softfloat_py.numbers.formats import Format
from softfloat_py.options import LEAN, Options
from softfloat_py.uses import Use

FILES = Path(__file__).parent / "files"
NAMES = tuple(sorted(path.stem for path in FILES.glob("*.c")))


@dataclass(frozen=True)
class Run:
    """What the Python kernel delivered in a format, as encodings, and the tally of it."""

    outputs: tuple[int, ...]
    tally: sf.Tally

    @property
    def calls(self) -> Counter[Use]:
        """How often it did what."""
        calls: Counter[Use] = Counter()
        for (use, _), usage in self.tally.usages().items():
            calls[use] += usage.calls
        return calls


@cache
def kernel_file(name: str) -> KernelFile:
    """The Python kernel of a name."""
    return load_kernel_file(FILES / f"{name}.py")


@cache
def python_run(name: str, fmt: Format, options: Options = LEAN) -> Run:
    """The Python kernel run in a format."""
    with sf.environment(options=options):
        returned, tally = kernel_file(name).counted_run(fmt)
    return Run(tuple(number.bits for number in singles(returned)), tally)


def inputs(name: str) -> list[Any]:
    """The single values that go into a kernel, as the host has them: floats alone, or integers of a kind."""
    return list(singles(kernel_file(name).module.inputs()))


def constants(name: str) -> dict[str, Any]:
    """The constants of a kernel, as the host has them."""
    return {key: value for key, value in vars(kernel_file(name).module).items() if key.isupper()}


def singles(value: Any) -> Iterator[Any]:
    """The single values of what may be sequences, in order."""
    if isinstance(value, tuple | list | np.ndarray | sf.FloatArray):
        for element in value:
            yield from singles(element)
    else:
        yield value
