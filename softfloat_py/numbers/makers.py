"""Arrays that a program starts with: constants, so nothing is counted and no flags are raised.

Each value is computed exactly, as a fraction, from the Python or numpy numbers given, and rounded once in the
current environment. What would be computed from an emulated value at run time is not made here, but written
with operators, which are counted.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, isfinite
from typing import Any, TypeAlias

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.array_constants import encode_values, storage
from softfloat_py.numbers.constants import exactly, is_real, refusal
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.value_system import ValueSystem

Shape: TypeAlias = "int | tuple[int, ...]"


def full(fmt: ValueSystem, shape: Shape, value: Any) -> FloatArray:
    """An array with one value, or with values that broadcast to the shape: constants, or emulated ones."""
    array = FloatArray._of(fmt, np.empty(shape, storage(fmt)))
    array._bits[...] = encodings_for(fmt, value, f"{fmt.name}.full")
    return array


def eye(fmt: ValueSystem, n: int, m: int | None, k: int) -> FloatArray:
    """n rows and m columns, n if that is None: 1 on the diagonal k places above the main one, 0 elsewhere."""
    one, zero = full(fmt, (), 1), full(fmt, (), 0)
    return FloatArray._of(fmt, np.where(np.eye(n, m, k, bool), one._bits, zero._bits))


def arange(fmt: ValueSystem, start: Any, stop: Any, step: Any) -> FloatArray:
    """start, start + step and so on, as long as they are below stop (above, for a negative step)."""
    if stop is None:
        start, stop = 0, start
    first, end, distance = (_exact(fmt, "arange", value) for value in (start, stop, step))
    if distance == 0:
        raise OperandError(f"step of {fmt.name}.arange must not be zero")
    return _progression(fmt, first, distance, max(ceil((end - first) / distance), 0))


def linspace(fmt: ValueSystem, start: Any, stop: Any, num: int, endpoint: bool) -> FloatArray:
    """`num` values at equal distances from start to stop, which is the last one if `endpoint` says so."""
    if num < 0:
        raise OperandError(f"num of {fmt.name}.linspace must not be negative, and is {num}")
    first, end = (_exact(fmt, "linspace", value) for value in (start, stop))
    return _progression(fmt, first, (end - first) / max(num - endpoint, 1), num)


def _progression(fmt: ValueSystem, first: Fraction, distance: Fraction, count: int) -> FloatArray:
    return FloatArray._of(fmt, encode_values(fmt, [first + place * distance for place in range(count)]))


def _exact(fmt: ValueSystem, maker: str, value: Any) -> Fraction:
    """The exact value of a number of the program."""
    purpose = f"{fmt.name}.{maker}"
    if isinstance(value, Emulated):
        raise OperandError(
            f"{purpose} makes constants, from Python's numbers, not from an emulated value: write what the "
            f"program computes with operators, for example {fmt.name}.arange(8) * step + start"
        )
    if not is_real(value):
        raise refusal(purpose, fmt.name, value)
    if not isfinite(value):
        raise OperandError(f"{purpose} needs finite numbers, not {value}")
    return exactly(value)
