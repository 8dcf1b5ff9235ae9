"""Elementary functions: counted arrays and numbers beside the peers, and what the first use of one takes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

import softfloat_py as sf
from benchmarks.arrays import operation_rows
from benchmarks.fresh_process import figures
from benchmarks.operands import operands, taken
from benchmarks.peers import MpfrNumbers, host_contestant
from benchmarks.row import Row, Target
from benchmarks.scalars import counted_numbers
from benchmarks.sizes import Sizes
from benchmarks.timing import Contestant, best_times, seconds
from softfloat_py.operations import operation_named
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.uses import use_of

FORMAT = sf.binary32
CPU = "cortex-m0plus"
# numpy's function, and the most nanoseconds that a counted element may take.
FUNCTIONS: Mapping[str, tuple[Callable[..., Any], Target | None]] = {
    "exp": (np.exp, Target(400)),
    "log": (np.log, Target(400)),
    "sin": (np.sin, Target(1200)),
    "atan2": (np.arctan2, None),
    "pow": (np.power, None),
}
NUMBER_TARGET = Target(15_000)  # ns
READING_TARGET = Target(300)
PRICING_TARGET = Target(500)
PROGRAM = """\
import sys
from benchmarks.elementary import first_use
print(*first_use(sys.argv[1]))
"""


def elementary_rows(sizes: Sizes, functions: Sequence[str] = tuple(FUNCTIONS)) -> Iterator[Row]:
    """For each function, rows of arrays and of numbers, in ns a call, and of its first use, in ms."""
    yield from array_rows(sizes, functions)
    yield from number_rows(sizes, functions)
    with TemporaryDirectory() as bytecode:
        for function in functions:
            yield from first_rows(function, sizes, bytecode)


def array_rows(sizes: Sizes, functions: Sequence[str]) -> Iterator[Row]:
    """On arrays, a row for each named set of options."""
    values = operands(FORMAT, sizes.function_elements)
    arrays = [FORMAT.array(array) for array in values]
    mpfr_numbers = MpfrNumbers(FORMAT, [array.tolist() for array in values])
    for function in functions:
        of_numpy, target = FUNCTIONS[function]
        peers = mpfr_numbers.contestants(function)
        peers["numpy"] = host_contestant(of_numpy, taken(function, values))
        yield from operation_rows(function, arrays, peers, sizes.rounds, target)


def number_rows(sizes: Sizes, functions: Sequence[str]) -> Iterator[Row]:
    """One by one, the same."""
    values = operands(FORMAT, sizes.numbers)
    mpfr_numbers = MpfrNumbers(FORMAT, [array.tolist() for array in values])
    for function in functions:
        ours = {name: counted_numbers(function, options, values) for name, options in NAMED_OPTIONS.items()}
        contestants: dict[str, Contestant] = {**ours, "gmpy2": mpfr_numbers.in_lists(function)}
        times = {name: 1e9 * time for name, time in best_times(contestants, sizes.rounds).items()}
        for options in NAMED_OPTIONS:
            peers = {"gmpy2": times["gmpy2"]}
            yield Row(f"scalar {function} {FORMAT.name}", options, "ns", times[options], peers, NUMBER_TARGET)


def first_rows(function: str, sizes: Sizes, bytecode: str) -> Iterator[Row]:
    """Reading the routine, and pricing a call of it on a CPU, each for the first time in a process."""
    times = [figures(PROGRAM, function, bytecode=bytecode) for _ in range(sizes.processes)]
    reading, pricing = (1e3 * min(several) for several in zip(*times, strict=True))
    yield Row(f"reading {function} {FORMAT.name}", "lean", "ms", reading, target=READING_TARGET)
    yield Row(f"pricing {function} on {CPU}", "lean", "ms", pricing, target=PRICING_TARGET)


def first_use(function: str) -> tuple[float, float]:
    """Seconds to read a routine, and to price a call of it with the cost table to be loaded."""
    operation = operation_named(function)
    reading = seconds(lambda: use_of(operation, FORMAT, sf.LEAN).program)
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        getattr(sf, function)(*[FORMAT(1.25)] * operation.arity)
    return reading, seconds(lambda: tally.estimate(CPU).cycles)
