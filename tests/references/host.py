"""Reference by the host's own arithmetic through numpy: binary16, binary32, binary64, ties to even, arrays.

Results only: the host's flags are not read. A NaN result is replaced by the canonical quiet NaN, since
hosts differ in the NaN they deliver.

numpy computes binary16 in binary32 and rounds again, which is harmless for + - * / and the square root
because 24 >= 2 * 11 + 2 (S. Figueroa, "When is double rounding innocuous?", SIGNUM Newsletter 30(3), 1995).
Subnormal binary16 results are normal in binary32 and need fewer than 11 bits, so the theorem covers them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.numbers.formats import Format, binary16, binary32, binary64

Encodings = NDArray[Any]

FLOATS: dict[Format, np.dtype[Any]] = {
    binary16: np.dtype(np.float16),
    binary32: np.dtype(np.float32),
    binary64: np.dtype(np.float64),
}

ARITHMETIC: dict[str, np.ufunc] = {
    "addition": np.add,
    "subtraction": np.subtract,
    "multiplication": np.multiply,
    "division": np.divide,
    "square_root": np.sqrt,
}

# Exact operations, for operands that are no NaN; of unlike zeros numpy may call either the larger one.
EXACT: dict[str, Callable[..., Any]] = {
    "round_to_integral_ties_to_even": np.rint,
    "round_to_integral_toward_positive": np.ceil,
    "round_to_integral_toward_negative": np.floor,
    "round_to_integral_toward_zero": np.trunc,
    "next_up": lambda x: np.nextafter(x, np.full_like(x, np.inf)),
    "next_down": lambda x: np.nextafter(x, np.full_like(x, -np.inf)),
    "copy_sign": np.copysign,
}
ARITY = {operation: 2 if operation == "copy_sign" else 1 for operation in EXACT}

# Quiet and signalling predicates differ in their flags alone.
COMPARISONS: dict[str, np.ufunc] = {
    f"compare_{kind}_{name}": ufunc
    for kind in ("quiet", "signaling")
    for name, ufunc in {
        "equal": np.equal,
        "not_equal": np.not_equal,
        "less": np.less,
        "less_equal": np.less_equal,
        "greater": np.greater,
        "greater_equal": np.greater_equal,
    }.items()
}


def expected_array(operation: str, fmt: Format, *operands: Encodings) -> Encodings:
    """Encodings of the results (0 and 1 for a comparison) of an operation on arrays of encodings.

    Results have the unsigned dtype as wide as the format, comparisons uint8. Raises KeyError for another
    operation or format.
    """
    return apply(operation, fmt, FLOATS[fmt], *operands)


def convert_format_array(source: Format, target: Format, encodings: Encodings) -> Encodings:
    """Encodings in `target` of encodings of `source`."""
    with np.errstate(all="ignore"):
        return encoded(target, floats_of(FLOATS[source], encodings).astype(FLOATS[target]))


def scale_b_array(fmt: Format, encodings: Encodings, n: NDArray[Any]) -> Encodings:
    """Encodings of numbers times 2**n."""
    with np.errstate(all="ignore"):
        return encoded(fmt, np.ldexp(floats_of(FLOATS[fmt], encodings), n))


def log_b_array(fmt: Format, encodings: Encodings) -> NDArray[Any]:
    """Exponents of finite numbers other than zero; numpy's significands lie in [1/2, 1)."""
    _, exponents = np.frexp(floats_of(FLOATS[fmt], encodings))
    return np.asarray(exponents - 1)


def apply(operation: str, fmt: Format, dtype: np.dtype[Any], *operands: Encodings) -> Encodings:
    """`expected_array` for a numpy dtype that holds the format."""
    values = [floats_of(dtype, encodings) for encodings in operands]
    with np.errstate(all="ignore"):
        if operation in COMPARISONS:
            return np.asarray(COMPARISONS[operation](*values)).astype(np.uint8)
        return encoded(fmt, np.asarray((ARITHMETIC | EXACT)[operation](*values)))


def floats_of(dtype: np.dtype[Any], encodings: Encodings) -> NDArray[Any]:
    """The numbers that encodings stand for; the bits are reinterpreted, not converted."""
    return np.asarray(encodings).astype(f"u{dtype.itemsize}").view(dtype)


def encoded(fmt: Format, values: NDArray[Any]) -> Encodings:
    """The encodings of numbers, every NaN the canonical one."""
    bits = values.view(f"u{values.dtype.itemsize}")
    return np.where(np.isnan(values), bits.dtype.type(fmt.quiet_nan), bits)
