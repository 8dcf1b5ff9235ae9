"""Counted operations on numbers, one by one, beside mpmath's numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import softfloat_py as sf
from benchmarks.arrays import counted
from benchmarks.loops import loop
from benchmarks.operands import MEASURED, Values, operands, taken
from benchmarks.peers import MpmathNumbers
from benchmarks.row import Row, Target
from benchmarks.sizes import Sizes
from benchmarks.timing import Contestant, best_times
from softfloat_py.options import NAMED_OPTIONS

FORMAT = sf.binary32
TARGETS = {"addition": Target(1.5, "mpmath")}


def scalar_rows(sizes: Sizes) -> Iterator[Row]:
    """A row for each operation and named set of options, in ns an operation."""
    values = operands(FORMAT, sizes.numbers)
    mpmath_numbers = MpmathNumbers(FORMAT, values)
    for operation in MEASURED:
        contestants = {
            name: counted_numbers(operation, options, values) for name, options in NAMED_OPTIONS.items()
        }
        contestants["mpmath"] = mpmath_numbers.in_lists(operation)
        times = {name: 1e9 * time for name, time in best_times(contestants, sizes.rounds).items()}
        peers = {"mpmath": times["mpmath"]}
        for options in NAMED_OPTIONS:
            what = f"scalar {operation} {FORMAT.name}"
            yield Row(what, options, "ns", times[options], peers, TARGETS.get(operation))


def counted_numbers(operation: str, options: sf.Options, values: Sequence[Values]) -> Contestant:
    """One operation on lists of numbers, counted, until the tally's steps are read."""
    on_lists = loop(operation, getattr(sf, operation))
    lists = [[FORMAT(value) for value in array.tolist()] for array in taken(operation, values)]
    return Contestant(counted(lambda: on_lists(*lists), options), values[0].size)
