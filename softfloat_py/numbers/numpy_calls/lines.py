"""Lines of elements along axes, for functions that go through each by itself, and what results they have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import prod
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_tuple

from softfloat_py.engines.arrays.words import as_array, from_ints
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.number import Number


class Lines:
    """The lines of elements along one axis, several in the order of their indices, or (None) all."""

    def __init__(self, a: Emulated, axis: Any) -> None:
        bits = as_array(a._bits, a.format.width)
        axes = normalize_axis_tuple(range(bits.ndim) if axis is None else axis, bits.ndim)
        rest = [place for place in range(bits.ndim) if place not in axes]
        self.shape = tuple(bits.shape[place] for place in rest)
        self.kept_shape = tuple(1 if place in axes else n for place, n in enumerate(bits.shape))
        length = prod(bits.shape[place] for place in axes)
        rows = bits.transpose(*rest, *axes).reshape(prod(self.shape), length)
        self.array = FloatArray._of(a.format, rows)

    def __iter__(self) -> Iterator[FloatArray]:
        return iter(self.array)

    def numbers(self, results: Sequence[Number], keepdims: bool) -> Any:
        """A Number for each line as an array of the other axes, or the only one."""
        fmt = self.array.format
        bits = from_ints([number._bits for number in results], fmt.width)
        return fmt.value_of(bits.reshape(self.kept_shape if keepdims else self.shape))

    def integers(self, results: Sequence[int], keepdims: bool) -> Any:
        """An int of the host for each line as an array of the other axes, or the only one."""
        return np.array(results, np.intp).reshape(self.kept_shape if keepdims else self.shape)[()]
