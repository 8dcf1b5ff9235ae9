"""The emulated operations beside this machine's own floating point, bit for bit.

The host computes through numpy, rounding ties to even. numpy's binary16 is computed in binary32 and rounded
again, which gives the same result for + - * / and the square root (S. Figueroa, "When is double rounding
innocuous?", SIGNUM Newsletter 30(3), 1995).

The operations of clause 5 of IEEE 754-2019 must agree: it requires them, and their results leave no choice.
Elementary functions (clause 9.2) it only recommends, correctly rounded; hosts round them as they like, so
they are compared only where they are named, and a difference is no fault of this library's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines import arrays
from softfloat_py.environment import Rounding
from softfloat_py.errors import FormatError, QuantityError, UnknownNameError
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from softfloat_py.operations import OPERATIONS, Operation, Result, unknown_operation
from softfloat_py.suggestions import families
from softfloat_py.uses import use_of

HOST_FLOATS: dict[Format, np.dtype[Any]] = {
    binary16: np.dtype(np.float16),
    binary32: np.dtype(np.float32),
    binary64: np.dtype(np.float64),
}

# Of zeros of different signs, numpy's maximum and minimum may give either; clause 9.6 says which.
HOST_OPERATIONS: dict[str, Operation] = {
    name: row for name, row in OPERATIONS.items() if row.ufunc and name not in ("maximum", "minimum")
}
REQUIRED_OPERATIONS = [name for name, row in HOST_OPERATIONS.items() if not row.elementary]

PIECE = 1 << 16  # samples at a time
SHOWN = 5  # differences kept an operation

Encodings = NDArray[Any]


class Difference(NamedTuple):
    """Operands for which the results differ, all as encodings (truths as 0 or 1)."""

    operands: tuple[int, ...]
    ours: int
    host: int


@dataclass(frozen=True, slots=True)
class ComparedOperation:
    """What came out for one operation; `first` are the first few differences."""

    operation: str
    samples: int
    differences: int
    first: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class HostComparison:
    """What came out for operations of a format; `print` it, or show it in a notebook."""

    format: Format
    operations: tuple[ComparedOperation, ...]

    @property
    def differences(self) -> int:
        """How many samples of all operations differ."""
        return sum(compared.differences for compared in self.operations)

    @property
    def ok(self) -> bool:
        """Whether nothing differs."""
        return self.differences == 0

    def __str__(self) -> str:
        from softfloat_py.views.host_comparison import text

        return text(self)

    def _repr_html_(self) -> str:
        from softfloat_py.views.host_comparison import html

        return html(self)


def compare_with_host(
    fmt: Format, *, operations: Iterable[str] | None = None, samples: int = 100_000, seed: int = 1
) -> HostComparison:
    """Run operations on random encodings and on all pairs of corner encodings, here and on the host.

    Half of the random pairs are independent, in the other half the exponents are close, so that operands
    meet. `operations` defaults to all that the host has and IEEE 754 requires; elementary functions, which
    it rounds as it likes, are compared where they are named. With 0 `samples`, the corners alone are.
    Raises FormatError for a format that the host has not, UnknownNameError for an operation that it has not,
    QuantityError for `samples` or a `seed` below 0.
    """
    for name, value in (("samples", samples), ("seed", seed)):
        if not isinstance(value, int | np.integer) or value < 0:
            raise QuantityError(name, "a whole number, 0 or more", value)
    if not isinstance(fmt, Format) or fmt not in HOST_FLOATS:
        names = ", ".join(known.name for known in HOST_FLOATS)
        given = fmt.name if isinstance(fmt, Format) else repr(fmt)
        raise FormatError(f"a comparison with the host needs one of its formats, {names}, not {given}")
    chosen = [_host_operation(name) for name in (REQUIRED_OPERATIONS if operations is None else operations)]
    return HostComparison(fmt, tuple(_compared(row, fmt, samples, seed) for row in chosen))


def _host_operation(name: str) -> Operation:
    if name in OPERATIONS and name not in HOST_OPERATIONS:
        listed = f"there are {', '.join(families(HOST_OPERATIONS))}"
        required = "one that numpy has as IEEE 754-2019 defines it"
        raise UnknownNameError("an operation of the host", name, list(HOST_OPERATIONS), [], required, listed)
    if name not in HOST_OPERATIONS:
        raise unknown_operation("an operation of the host", name, HOST_OPERATIONS)
    return HOST_OPERATIONS[name]


# -- samples -------------------------------------------------------------------------------------------


def corners(fmt: Format) -> list[int]:
    """Encodings of both signs where arithmetic changes its course: zeros, ends of ranges, NaNs."""
    one = fmt.one
    magnitudes = {
        0, 1, fmt.smallest_normal - 1, fmt.smallest_normal, fmt.smallest_normal + 1,
        one - 1, one, one + 1, one + fmt.leading_one, one + fmt.trailing_bits * fmt.leading_one,
        fmt.largest_finite - 1, fmt.largest_finite, fmt.infinity, fmt.infinity + 1, fmt.quiet_nan,
    }  # fmt: skip
    return sorted(magnitudes | {fmt.sign_bit | magnitude for magnitude in magnitudes})


def operand_pieces(fmt: Format, arity: int, samples: int, seed: int) -> Iterator[list[Encodings]]:
    """Arrays of operands, one list a piece: the corners, then random encodings."""
    dtype = np.dtype(f"u{HOST_FLOATS[fmt].itemsize}")
    corner = np.array(corners(fmt), dtype)
    yield [grid.reshape(-1) for grid in np.meshgrid(*[corner] * arity)]
    generator = np.random.default_rng(seed)
    for start in range(0, samples, PIECE):
        size = min(PIECE, samples - start)
        operands = [generator.integers(0, 1 << fmt.width, size, dtype) for _ in range(arity)]
        if arity == 2:
            operands[1][::2] = _with_near_exponent(fmt, operands[0][::2], operands[1][::2], generator)
        yield operands


def _with_near_exponent(fmt: Format, x: Encodings, y: Encodings, generator: np.random.Generator) -> Encodings:
    """The operands y with exponents at most the precision and two from those of x."""
    largest = fmt.largest_exponent_field
    field = (x >> x.dtype.type(fmt.trailing_bits)).astype(np.int64) & largest
    near = np.clip(field + generator.integers(-fmt.precision - 2, fmt.precision + 3, x.size), 0, largest)
    elsewhere = x.dtype.type(~(largest << fmt.trailing_bits) & ((1 << fmt.width) - 1))
    return np.asarray(y & elsewhere | (near.astype(x.dtype) << x.dtype.type(fmt.trailing_bits)))


# -- comparing -----------------------------------------------------------------------------------------


def _compared(operation: Operation, fmt: Format, samples: int, seed: int) -> ComparedOperation:
    from softfloat_py.views.waiting import Progress

    compiled = arrays.compiled(use_of(operation, fmt).program)
    done = differences = 0
    first: list[Difference] = []
    progress = Progress(operation.name)
    for operands in operand_pieces(fmt, operation.arity, samples, seed):
        ours = compiled.run(operands, Rounding.TIES_TO_EVEN, keep_counts=False).results[0]
        host = host_results(operation, fmt, operands)
        places = np.flatnonzero(_differ(operation, fmt, ours, host))
        done += host.size
        differences += places.size
        for place in places[: SHOWN - len(first)]:
            first.append(
                Difference(tuple(int(x[place]) for x in operands), int(ours[place]), int(host[place]))
            )
        progress.show(done)
    progress.clear()
    return ComparedOperation(operation.name, done, differences, tuple(first))


def host_results(operation: Operation, fmt: Format, operands: Sequence[Encodings]) -> Encodings:
    """What the host delivers, as encodings (truths as they are)."""
    assert operation.ufunc is not None
    values = [encodings.view(HOST_FLOATS[fmt]) for encodings in operands]
    with np.errstate(all="ignore"):
        results = np.asarray(getattr(np, operation.ufunc)(*values))
    return results if operation.result is Result.TRUTH else results.view(operands[0].dtype)


def _differ(operation: Operation, fmt: Format, ours: Encodings, host: Encodings) -> NDArray[np.bool_]:
    if operation.result is Result.TRUTH:
        return np.asarray(ours != host)
    magnitude = host.dtype.type(fmt.sign_bit - 1)
    both_nan = ((ours & magnitude) > fmt.infinity) & ((host & magnitude) > fmt.infinity)
    return np.asarray((ours != host) & ~both_nan)
