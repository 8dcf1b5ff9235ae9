"""How long pricing takes: the tally of a wave height, on every CPU that has a cost model."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import softfloat_py as sf
from benchmarks.fresh_process import ROOT, figures
from benchmarks.row import Row, Target
from benchmarks.sizes import Sizes
from benchmarks.timing import seconds
from softfloat_py.kernel_files import load_kernel_file

KERNEL_FILE = ROOT / "examples" / "wave_height.py"
PROGRAM = """\
import sys
from benchmarks.pricing import first_and_again
print(*first_and_again(sys.argv[1]))
"""
TARGET = Target(5.0)
REPEATS = 5


def pricing_rows(sizes: Sizes) -> Iterator[Row]:
    """Two rows in ms, for all CPUs together: the first time a process does it, and again."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "tally.json"
        wave_height_tally(sizes).save(path)
        times = [figures(PROGRAM, str(path)) for _ in range(sizes.rounds)]
    first, again = (1e3 * min(several) for several in zip(*times, strict=True))
    what = f"pricing on {len(sf.cost_models())} CPUs"
    yield Row(f"{what}, first time", "lean", "ms", first, target=TARGET)
    yield Row(f"{what}, again", "lean", "ms", again, target=TARGET)


def wave_height_tally(sizes: Sizes) -> sf.Tally:
    """What the wave height takes on the first samples of the demo record."""
    example = load_kernel_file(KERNEL_FILE)
    record, _ = example.inputs()
    acceleration = sf.binary32.array(record[: sizes.settling + sizes.samples])
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        example.kernel(acceleration, sizes.settling)
    return tally


def first_and_again(path: str) -> tuple[float, float]:
    """Seconds to price a saved tally where nothing is cached (cost tables unread), and at best afterwards."""
    tally = sf.Tally.load(path)
    first = seconds(lambda: price_everywhere(tally))
    return first, min(seconds(lambda: price_everywhere(tally)) for _ in range(REPEATS))


def price_everywhere(tally: sf.Tally) -> list[tuple[float, dict[tuple[str, str], float]]]:
    """Cycles, and cycles by operation, on every CPU."""
    estimates = [tally.estimate(name) for name in sf.cost_models()]
    return [(estimate.cycles, estimate.by_operation) for estimate in estimates]
