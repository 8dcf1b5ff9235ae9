"""How long pricing takes: the cost tables of all CPUs, and the tally of a wave height on every one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import softfloat_py as sf
from benchmarks.fresh_process import ROOT, figures
from benchmarks.row import Row, Target
from benchmarks.sizes import Sizes
from benchmarks.timing import seconds
from softfloat_py.kernels import load_kernel_file

KERNEL_FILE = ROOT / "examples" / "wave_height.py"
PROGRAM = """\
import sys
from benchmarks.pricing import tables_first_and_again
print(*tables_first_and_again(sys.argv[1]))
"""
TABLES_TARGET = Target(200)
AGAIN_TARGET = Target(20)
REPEATS = 5


def pricing_rows(sizes: Sizes) -> Iterator[Row]:
    """Three rows in ms, all CPUs together: loading their tables, pricing for the first time, and again."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "tally.json"
        wave_height_tally(sizes).save(path)
        times = [figures(PROGRAM, str(path), bytecode=folder) for _ in range(sizes.processes)]
    tables, first, again = (1e3 * min(several) for several in zip(*times, strict=True))
    cpus = f"{len(sf.cost_models())} CPUs"
    yield Row(f"cost tables of {cpus}, first time", "", "ms", tables, target=TABLES_TARGET)
    yield Row(f"pricing on {cpus}, first time", "lean", "ms", first)
    yield Row(f"pricing on {cpus}, again", "lean", "ms", again, target=AGAIN_TARGET)


def wave_height_tally(sizes: Sizes) -> sf.Tally:
    """What the wave height takes on the first samples of the demo record."""
    example = load_kernel_file(KERNEL_FILE).module
    record, _ = example.inputs()
    kernel = sf.emulated(example.kernel, sf.binary32)
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        kernel(record[: sizes.settling + sizes.samples], sizes.settling)
    return tally


def tables_first_and_again(path: str) -> tuple[float, float, float]:
    """Seconds to load all cost tables, to price a saved tally on them, and at best to do that again.

    The first two are what they are in a process that has not done them before.
    """
    tables = seconds(lambda: [sf.cost_model(name) for name in sf.cost_models()])
    tally = sf.Tally.load(path)
    first = seconds(lambda: price_everywhere(tally))
    return tables, first, min(seconds(lambda: price_everywhere(tally)) for _ in range(REPEATS))


def price_everywhere(tally: sf.Tally) -> list[float]:
    """Cycles on every CPU."""
    return [tally.estimate(name).cycles for name in sf.cost_models()]
