"""How long importing the library takes, beside importing numpy."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median
from tempfile import TemporaryDirectory

from benchmarks.fresh_process import figures
from benchmarks.row import Row, Target
from benchmarks.sizes import Sizes

PROGRAM = """\
from time import perf_counter
start = perf_counter()
import {module}
print(perf_counter() - start)
"""
TARGET = Target(1.5, "numpy")


def import_rows(sizes: Sizes) -> Iterator[Row]:
    """One row in ms: the median of several imports, each by an interpreter of its own."""
    times: dict[str, list[float]] = {"softfloat_py": [], "numpy": []}
    with TemporaryDirectory() as bytecode:
        for _ in range(sizes.imports):
            for module in times:
                times[module] += figures(PROGRAM.format(module=module), bytecode=bytecode)
    ours, numpy = (1e3 * median(several) for several in times.values())
    yield Row("import softfloat_py", "", "ms", ours, {"numpy": numpy}, TARGET)
