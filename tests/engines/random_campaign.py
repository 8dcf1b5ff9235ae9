"""A longer campaign: routines made at random must run on every engine, and in C, as Python itself runs them.

python -m tests.engines.random_campaign --first 1000 --seeds 10000 --processes 2

Each routine is compiled for three or four words and multipliers, the next one for others. What goes wrong is
printed with its seed, the first of a batch also with a short text that shows it; then the status is 1. Needs
the extra `test` and gcc.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from softfloat_py.engines.c.target import Target
from tests.engines.random_routines import Made, made
from tests.engines.random_runs import (
    MEANT_IN_MANY,
    TARGETS,
    Sample,
    differences,
    differences_in_c,
    random_sample,
)
from tests.engines.shrinking import shrunk

BATCH = 56  # routines between two lines of progress; those for one target are compiled together
TURN = 4  # a routine has the C of every fourth target
Check = Callable[[Sample], list[str]]
Found = tuple[int, Check, str]  # a seed, and what finds which fault in its routine


def main() -> int:
    """Run it, a line every batch; 1 if any routine differs."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.engines.random_campaign",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--first", type=int, default=0, metavar="N", help="the first seed (default: 0)")
    parser.add_argument("--seeds", type=int, default=1000, metavar="M", help="how many (default: 1000)")
    parser.add_argument("--processes", type=int, default=1, metavar="P", help="at once (default: 1)")
    asked = parser.parse_args()
    if shutil.which("gcc") is None:
        parser.error("gcc must be installed; on Debian: apt-get install gcc")
    end = asked.first + asked.seeds
    batches = [range(start, min(start + BATCH, end)) for start in range(asked.first, end, BATCH)]
    wrong = 0
    with ProcessPoolExecutor(asked.processes) as processes:
        for batch, reports in zip(batches, processes.map(reports_on, batches), strict=True):
            wrong += len(reports)
            print("\n".join([*reports, f"up to seed {batch[-1]}: {wrong} wrong"]), flush=True)
    return 1 if wrong else 0


def reports_on(seeds: range) -> list[str]:
    """What is wrong with the routines of some seeds, a text each."""
    faults: list[Found] = [
        (seed, differences, fault) for seed in seeds if (fault := fault_of(made(seed), seed, differences))
    ]
    for number, target in enumerate(TARGETS):
        in_turn = [seed for seed in seeds if seed % TURN == number % TURN]
        faults += faults_in_c(in_turn, target)
    reports = [f"seed {seed}: {fault}" for seed, _, fault in faults]
    if faults:
        reports[0] += "\n" + shortest_text(*faults[0])
    return reports


def faults_in_c(seeds: list[int], target: Target) -> list[Found]:
    """What is wrong in C: all routines as one unit, and each alone if they are not right together."""
    together = first_of(lambda: in_c([random_sample(seed) for seed in seeds], target))
    if not together:
        return []
    alone = partial(in_c_alone, target=target)
    found: list[Found] = [
        (each, alone, fault) for each in seeds if (fault := fault_of(made(each), each, alone))
    ]
    return found or [(seeds[0], alone, f"{together}, in one unit with the next ones")]


def in_c_alone(sample: Sample, target: Target) -> list[str]:
    """What the C of one routine does otherwise than Python itself."""
    return in_c([sample], target)


def in_c(samples: list[Sample], target: Target) -> list[str]:
    """What the C of routines does otherwise than Python itself."""
    with tempfile.TemporaryDirectory() as folder:
        return differences_in_c(samples, target, Path(folder), MEANT_IN_MANY)


def fault_of(one: Made, seed: int, check: Check) -> str:
    """The first thing wrong with a routine; empty if nothing is."""
    return first_of(lambda: check(random_sample(seed, one)))


def first_of(faults: Callable[[], list[str]]) -> str:
    """The first of some faults, or what any part of the library raised before they were found."""
    try:
        return next(iter(faults()), "")
    except Exception as error:
        return f"{type(error).__name__}: {error}"


def shortest_text(seed: int, check: Check, fault: str) -> str:
    """A short routine in which the same is wrong."""
    one = made(seed)

    def shows_it(text: str) -> bool:
        shorter = Made(text, one.keeps_flags)
        try:
            _ = random_sample(seed, shorter).expected  # it must be legal
        except Exception:
            return False
        return fault_of(shorter, seed, check).partition(":")[0] == fault.partition(":")[0]

    return shrunk(one.text, shows_it)


if __name__ == "__main__":
    sys.exit(main())
