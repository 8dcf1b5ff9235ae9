"""Counted operations on arrays beside the peers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import softfloat_py as sf
from benchmarks.operands import MEASURED, Values, operands, taken
from benchmarks.peers import MpfrNumbers, MpmathNumbers, numpy_contestant
from benchmarks.row import Row, Target
from benchmarks.sizes import Sizes
from benchmarks.timing import Contestant, best_times
from softfloat_py.comparing import HOST_FLOATS
from softfloat_py.options import NAMED_OPTIONS

TARGETS = {
    "addition": Target(0.5, "gmpy2"),
    "multiplication": Target(0.5, "gmpy2"),
    "division": Target(2, "gmpy2"),
    "square_root": Target(2, "gmpy2"),
}


def array_rows(sizes: Sizes, formats: Sequence[sf.Format] = tuple(HOST_FLOATS)) -> Iterator[Row]:
    """A row for each format, operation and named set of options, in ns an operation."""
    for fmt in formats:
        values = operands(fmt, sizes.elements)
        mpfr_numbers = MpfrNumbers(fmt, values)
        mpmath_numbers = MpmathNumbers(fmt, [array[:: sizes.mpmath_share] for array in values])
        for operation in MEASURED:
            peers = {
                "gmpy2 in lists": mpfr_numbers.in_lists(operation),
                "gmpy2 in arrays": mpfr_numbers.in_arrays(operation),
                "mpmath": mpmath_numbers.in_lists(operation),
                "numpy": numpy_contestant(operation, values),
            }
            ours = {
                name: counted_arrays(operation, fmt, options, values)
                for name, options in NAMED_OPTIONS.items()
            }
            yield from _rows(f"array {operation} {fmt.name}", TARGETS[operation], ours | peers, sizes.rounds)


def _rows(what: str, target: Target, contestants: Mapping[str, Contestant], rounds: int) -> Iterator[Row]:
    times = {name: 1e9 * time for name, time in best_times(contestants, rounds).items()}
    peers = {
        "gmpy2": min(times["gmpy2 in lists"], times["gmpy2 in arrays"]),
        "mpmath": times["mpmath"],
        "numpy": times["numpy"],
    }
    for options in NAMED_OPTIONS:
        yield Row(what, options, "ns", times[options], peers, target)


def counted_arrays(
    operation: str, fmt: sf.Format, options: sf.Options, values: Sequence[Values]
) -> Contestant:
    """One operation on whole arrays, counted, until the tally's steps are read."""
    function = getattr(sf, operation)
    arrays = [fmt.array(array) for array in taken(operation, values)]

    def run() -> object:
        with sf.environment(options=options), sf.counting() as tally:
            results = function(*arrays)
        return results, tally.steps

    return Contestant(run, values[0].size)
