"""The operands that are measured: the same for every CPU, every time."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.numbers.formats import Format
from softfloat_py.operations import OPERATIONS

COUNT = 1000
SEED = 1
SETS = ("near", "wide")
OF_POSITIVE = ("square_root", "r_sqrt", "log", "log2", "log10", "pow", "powr")
NEAR = 8  # exponents this far from 0, either way


def operands_of(operation: str, fmt: Format, which: str, count: int = COUNT) -> NDArray[np.uint64]:
    """Normal numbers, a row a call: random significands and signs (roots and logarithms of positive numbers
    only), random exponents, from -8 to 8 or all there are.
    """
    draw = np.random.default_rng(SEED)
    columns = [normal_numbers(draw, fmt, which, count) for _ in OPERATIONS[operation].operands]
    rows = np.stack(columns, axis=1)
    return rows & np.uint64(fmt.sign_bit - 1) if operation in OF_POSITIVE else rows


def normal_numbers(draw: Any, fmt: Format, which: str, count: int) -> NDArray[np.uint64]:
    """Encodings of normal numbers."""
    lowest, highest = (
        (fmt.bias - NEAR, fmt.bias + NEAR) if which == "near" else (1, fmt.largest_exponent_field - 1)
    )
    parts = (
        draw.integers(0, 2, count, dtype=np.uint64) << np.uint64(fmt.width - 1),
        draw.integers(lowest, highest + 1, count, dtype=np.uint64) << np.uint64(fmt.trailing_bits),
        draw.integers(0, 1 << fmt.trailing_bits, count, dtype=np.uint64),
    )
    encodings: NDArray[np.uint64] = parts[0] | parts[1] | parts[2]
    return encodings
