"""Random operands, the same for everybody."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from softfloat_py.numbers.formats import Format
from softfloat_py.operations import OPERATIONS
from softfloat_py.studies.comparing import HOST_FLOATS

Values = NDArray[np.floating[Any]]
T = TypeVar("T")

MEASURED = ("addition", "multiplication", "division", "square_root")
SEED = 1867
BINADES = 4  # on either side of 1, for encodings


def operands(fmt: Format, size: int) -> list[Values]:
    """Three arrays of normal numbers, normally distributed; the first is positive, for it has roots taken."""
    generator = np.random.default_rng(SEED)
    smallest = np.finfo(HOST_FLOATS[fmt]).smallest_normal
    x, *others = generator.standard_normal((3, size)).astype(HOST_FLOATS[fmt])
    signed = [np.copysign(np.maximum(np.abs(y), smallest), y) for y in others]
    return [np.maximum(np.abs(x), smallest), *signed]


def encodings(fmt: Format, size: int) -> list[list[int]]:
    """The same for formats that the host has not: encodings of numbers that are not far from 1."""
    random = Random(SEED)
    lowest, end = ((fmt.bias + binade) << fmt.trailing_bits for binade in (-BINADES, BINADES))
    x, *others = ([random.randrange(lowest, end) for _ in range(size)] for _ in range(3))
    return [x, *([bits | random.choice((0, fmt.sign_bit)) for bits in other] for other in others)]


def taken(operation: str, values: Sequence[T]) -> Sequence[T]:
    """As many of three operands as an operation takes."""
    return values[: OPERATIONS[operation].arity]
