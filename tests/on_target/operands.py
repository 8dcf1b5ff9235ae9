"""The operands that are measured: the same for every CPU, every time."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format
from tests.on_target.asked import use_asked_for

COUNT = 1000
SEED = 1
SETS = ("near", "wide")
OF_POSITIVE = ("square_root", "r_sqrt", "log", "log2", "log10", "pow", "powr")
NEAR = 8  # exponents this far from 0, either way


def operands_of(operation: str, fmt: Format, which: str, count: int = COUNT) -> NDArray[np.uint64]:
    """Normal numbers, a row a call: random significands and signs (roots and logarithms of positive numbers
    only), random exponents, from -8 to 8 or all there are. Where an operation takes an integer, integers of
    either sign and of random lengths, up to 8 bits or all there are.
    """
    draw = np.random.default_rng(SEED)
    use = use_asked_for(operation, fmt)
    if use.operation.integer_operands:
        return integers(draw, use.integer, which, count)[:, np.newaxis]
    columns = [normal_numbers(draw, fmt, which, count) for _ in use.operation.operands]
    rows = np.stack(columns, axis=1)
    return rows & np.uint64(fmt.sign_bit - 1) if operation in OF_POSITIVE else rows


def integers(draw: Any, kind: IntegerFormat, which: str, count: int) -> NDArray[np.uint64]:
    """Integers that are not zero, in two's complement if they have a sign."""
    longest = NEAR if which == "near" else kind.width - kind.signed
    lengths = draw.integers(1, longest + 1, count)
    lowest = np.uint64(1) << (lengths - 1).astype(np.uint64)
    magnitudes = lowest | draw.integers(0, 1 << 63, count, dtype=np.uint64) % lowest
    negative = draw.integers(0, 2, count).astype(bool) & kind.signed
    encodings: NDArray[np.uint64] = np.where(negative, np.uint64(0) - magnitudes, magnitudes)
    return encodings & np.uint64((1 << kind.width) - 1)


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
