"""The peers: numpy on the host's floating point, MPFR numbers through gmpy2, and mpmath's numbers.

MPFR computes with the format's precision and exponent range and rounds subnormal results as the format does
(MPFR manual, mpfr_subnormalize); mpmath has the precision, and exponents without bound.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import gmpy2  # type: ignore[import-untyped]
import mpmath  # type: ignore[import-untyped]
import numpy as np

from benchmarks.loops import loop
from benchmarks.operands import Values, taken
from benchmarks.timing import Contestant
from softfloat_py.formats import Format
from softfloat_py.operations import OPERATIONS


def versions() -> str:
    """What is compared with."""
    return (
        f"numpy {np.__version__}, gmpy2 {gmpy2.version()} with {gmpy2.mpfr_version()}, "
        f"mpmath {mpmath.__version__} on {mpmath.libmp.BACKEND}"
    )


def numpy_contestant(operation: str, values: Sequence[Values]) -> Contestant:
    """The host's own floating point, on arrays."""
    ufunc = getattr(np, OPERATIONS[operation].ufunc or "")
    arrays = taken(operation, values)

    def run() -> object:
        with np.errstate(all="ignore"):
            return ufunc(*arrays)

    return Contestant(run, values[0].size)


class MpfrNumbers:
    """Operands as numbers of MPFR; converted once, since that takes longer than computing with them."""

    def __init__(self, fmt: Format, values: Sequence[Values]) -> None:
        self._size = values[0].size
        self._context = gmpy2.context(
            precision=fmt.precision,
            emin=fmt.emin - fmt.trailing_bits + 1,  # MPFR's significands lie in [1/2, 1), hence + 1
            emax=fmt.emax + 1,
            subnormalize=True,
        )
        with gmpy2.context(self._context):
            self._lists = [[gmpy2.mpfr(value) for value in array.tolist()] for array in values]

    def in_lists(self, operation: str) -> Contestant:
        """An operation in a loop."""
        return self._contestant(loop(operation, gmpy2.sqrt), taken(operation, self._lists))

    def in_arrays(self, operation: str) -> Contestant:
        """An operation by numpy on arrays of objects."""
        ufunc = getattr(np, OPERATIONS[operation].ufunc or "")
        if operation == "square_root":  # numpy looks for a method of that name, which the numbers have not
            ufunc = np.frompyfunc(gmpy2.sqrt, 1, 1)
        lists = taken(operation, self._lists)
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
