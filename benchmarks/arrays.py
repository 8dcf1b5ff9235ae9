"""Counted operations on arrays beside the peers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

import softfloat_py as sf
from benchmarks.operands import MEASURED, encodings, operands, taken
from benchmarks.peers import MpfrNumbers, MpmathNumbers, numpy_contestant
from benchmarks.row import Row, Target
from benchmarks.sizes import Sizes
from benchmarks.timing import Contestant, best_times
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.studies.comparing import HOST_FLOATS

FUSED = "fused_multiply_add"
TARGETS = {
    "addition": Target(0.5, "gmpy2"),
    "multiplication": Target(0.5, "gmpy2"),
    "division": Target(2, "gmpy2"),
    "square_root": Target(2, "gmpy2"),
    FUSED: Target(1, "gmpy2"),
}


def array_rows(sizes: Sizes, formats: Sequence[sf.Format] = tuple(HOST_FLOATS)) -> Iterator[Row]:
    """A row for each format of the host, operation and named set of options, in ns an operation."""
    for fmt in formats:
        values = operands(fmt, sizes.elements)
        arrays = [fmt.array(array) for array in values]
        mpfr_numbers = MpfrNumbers(fmt, [array.tolist() for array in values])
        mpmath_numbers = MpmathNumbers(fmt, [array[:: sizes.mpmath_share] for array in values])
        for operation in (*MEASURED, FUSED):
            peers = mpfr_numbers.contestants(operation)
            if operation != FUSED:  # which these two have not
                peers["mpmath"] = mpmath_numbers.in_lists(operation)
                peers["numpy"] = numpy_contestant(operation, values)
            yield from operation_rows(operation, arrays, peers, sizes.rounds, TARGETS[operation])


def wide_rows(sizes: Sizes, fmt: sf.Format = sf.binary128) -> Iterator[Row]:
    """The same for a format of more than 64 bits, which neither the host nor its arrays have."""
    bits = encodings(fmt, sizes.wide_elements)
    arrays = [fmt.array_from_bits(several) for several in bits]
    mpfr_numbers = MpfrNumbers(fmt, [[fmt.decode(each) for each in several] for several in bits])
    for operation in (*MEASURED, FUSED):
        yield from operation_rows(operation, arrays, mpfr_numbers.contestants(operation), sizes.rounds)


def operation_rows(
    operation: str,
    arrays: Sequence[sf.FloatArray],
    peers: Mapping[str, Contestant],
    rounds: int,
    target: Target | None = None,
) -> Iterator[Row]:
    """A row for each named set of options, of an operation on arrays beside its peers."""
    function, operands_taken = getattr(sf, operation), taken(operation, arrays)
    what = f"array {operation} {arrays[0].format.name}"
    yield from rows_beside(what, lambda: function(*operands_taken), arrays[0].size, peers, rounds, target)


def rows_beside(
    what: str,
    compute: Callable[[], Any],
    size: int,
    peers: Mapping[str, Contestant],
    rounds: int,
    target: Target | None = None,
) -> Iterator[Row]:
    """A row for each named set of options, of what is computed on arrays of so many elements."""
    ours = {name: Contestant(counted(compute, options), size) for name, options in NAMED_OPTIONS.items()}
    times = {name: 1e9 * time for name, time in best_times({**ours, **peers}, rounds).items()}
    figures: dict[str, float] = {}
    for contestant in peers:
        peer = contestant.split()[0]
        figures[peer] = min(figures.get(peer, times[contestant]), times[contestant])
    for options in NAMED_OPTIONS:
        yield Row(what, options, "ns", times[options], figures, target)


def counted(compute: Callable[[], Any], options: sf.Options) -> Callable[[], object]:
    """A computation with options, counted until the tally's steps are read."""

    def run() -> object:
        with sf.environment(options=options), sf.counting() as tally:
            results = compute()
        return results, tally.steps

    return run
