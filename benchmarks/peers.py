"""The peers: numpy on the host's floating point, MPFR numbers through gmpy2, and mpmath's numbers.

MPFR computes with the format's precision and exponent range and rounds subnormal results as the format does
(MPFR manual, mpfr_subnormalize); mpmath has the precision, and exponents without bound.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from operator import pos, pow
from typing import Any

import gmpy2  # type: ignore[import-untyped]
import mpmath  # type: ignore[import-untyped]
import numpy as np

from benchmarks.loops import loop
from benchmarks.operands import Values, taken
from benchmarks.timing import Contestant
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import OPERATIONS

# What does the operations that no operator of two operands does: gmpy2's functions; the sign +, which rounds
# to the precision in force; Python's round, which gives an integer, ties to even.
MPFR_FUNCTIONS: Mapping[str, Callable[..., Any]] = {
    "square_root": gmpy2.sqrt,
    "fused_multiply_add": gmpy2.fma,
    "exp": gmpy2.exp,
    "log": gmpy2.log,
    "sin": gmpy2.sin,
    "atan2": gmpy2.atan2,
    "pow": pow,
    "convert_format": pos,
    "convert_to_integer": round,
}


def versions() -> str:
    """What is compared with."""
    return (
        f"numpy {np.__version__}, gmpy2 {gmpy2.version()} with {gmpy2.mpfr_version()}, "
        f"mpmath {mpmath.__version__} on {mpmath.libmp.BACKEND}"
    )


def numpy_contestant(operation: str, values: Sequence[Values]) -> Contestant:
    """The host's own floating point, on arrays."""
    return host_contestant(getattr(np, OPERATIONS[operation].ufunc or ""), taken(operation, values))


def host_contestant(function: Callable[..., object], arrays: Sequence[Values]) -> Contestant:
    """A function of numpy's on arrays, whose warnings nobody sees."""

    def run() -> object:
        with np.errstate(all="ignore"):
            return function(*arrays)

    return Contestant(run, arrays[0].size)


def mpfr_context(fmt: Format) -> gmpy2.context:
    """A format's precision, exponents and subnormal results."""
    return gmpy2.context(
        precision=fmt.precision,
        emin=fmt.emin - fmt.trailing_bits + 1,  # MPFR's significands lie in [1/2, 1), hence + 1
        emax=fmt.emax + 1,
        subnormalize=True,
    )


class MpfrNumbers:
    """Operands as numbers of MPFR; converted once, since that takes longer than computing with them.

    `values` are lists of numbers of the format, floats or Fractions; results are in the format `target`, the
    same if not given.
    """

    def __init__(self, fmt: Format, values: Sequence[Sequence[Any]], target: Format | None = None) -> None:
        self._size = len(values[0])
        with gmpy2.context(mpfr_context(fmt)):
            self._lists = [[gmpy2.mpfr(value) for value in several] for several in values]
        self._context = mpfr_context(target or fmt)

    def contestants(self, operation: str) -> dict[str, Contestant]:
        """Both ways to compute with many; a peer's time is the shorter of theirs."""
        return {"gmpy2 in lists": self.in_lists(operation), "gmpy2 in arrays": self.in_arrays(operation)}

    def in_lists(self, operation: str) -> Contestant:
        """An operation in a loop."""
        compute = loop(operation, MPFR_FUNCTIONS.get(operation, pos))
        return self._contestant(compute, taken(operation, self._lists))

    def in_arrays(self, operation: str) -> Contestant:
        """An operation by numpy on arrays of objects."""
        lists = taken(operation, self._lists)
        if operation in MPFR_FUNCTIONS:  # numpy looks for methods, which the numbers have not
            ufunc: Any = np.frompyfunc(MPFR_FUNCTIONS[operation], len(lists), 1)
        else:
            ufunc = getattr(np, OPERATIONS[operation].ufunc or "")
        return self._contestant(ufunc, [np.fromiter(numbers, object, self._size) for numbers in lists])

    def _contestant(self, compute: Callable[..., object], arguments: Sequence[object]) -> Contestant:
        def run() -> object:
            with gmpy2.context(self._context):
                return compute(*arguments)

        return Contestant(run, self._size)


class MpmathNumbers:
    """Operands as numbers of mpmath."""

    def __init__(self, fmt: Format, values: Sequence[Values]) -> None:
        self._precision = fmt.precision
        with mpmath.workprec(fmt.precision):
            self._lists = [[mpmath.mpf(value) for value in array.tolist()] for array in values]

    def in_lists(self, operation: str) -> Contestant:
        """An operation in a loop."""
        on_lists = loop(operation, mpmath.sqrt)
        lists = taken(operation, self._lists)

        def run() -> object:
            with mpmath.workprec(self._precision):
                return on_lists(*lists)

        return Contestant(run, len(lists[0]))
