"""Random operands, the same for everybody."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from softfloat_py.comparing import HOST_FLOATS
from softfloat_py.formats import Format
from softfloat_py.operations import OPERATIONS

Values = NDArray[np.floating[Any]]
T = TypeVar("T")

MEASURED = ("addition", "multiplication", "division", "square_root")
SEED = 1867


def operands(fmt: Format, size: int) -> list[Values]:
    """Two arrays of normal numbers, normally distributed; the first is positive, for it has roots taken."""
    generator = np.random.default_rng(SEED)
    smallest = np.finfo(HOST_FLOATS[fmt]).smallest_normal
    x, y = generator.standard_normal((2, size)).astype(HOST_FLOATS[fmt])
    return [np.maximum(np.abs(x), smallest), np.copysign(np.maximum(np.abs(y), smallest), y)]


def taken(operation: str, values: Sequence[T]) -> Sequence[T]:
    """As many of two operands as an operation takes."""
    return values[: OPERATIONS[operation].arity]
