"""Differences and convolutions of sequences, as plain C loops compute them.

The taps of a filter are constants of the program as a list or a tuple of floats; a host array of floats is
refused here as everywhere, and becomes a constant by binary32.array(taps).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, arrays_for
from softfloat_py.numbers.functions import addition, multiplication, subtraction

MODES = ("full", "same", "valid")


def diff(a: Any, n: int = 1, axis: int = -1) -> Any:
    """Each element less the one before it, n times over: a subtraction for each element of each result."""
    if n < 0:
        raise OperandError(f"numpy.diff needs a number of times from 0 on, not {n}")
    if np.ndim(a) == 0:
        raise OperandError("numpy.diff needs an array with at least one axis, not a single number")
    along = np.moveaxis(a, axis, 0)
    for _ in range(n):
        along = subtraction(along[1:], along[:-1])
    return np.moveaxis(along, 0, axis)


def convolve(a: Any, v: Any, mode: str = "full") -> Any:
    """result[k], the sum of a[j] × v[k - j] for all j, in ascending order of j, starting with a product.

    The result has every k where the sequences meet ("full"), as many as the longer sequence, from the middle
    ("same"), or those where the shorter one lies wholly within the longer ("valid"). Counted for each k
    where m elements meet: m multiplications and m - 1 additions.
    """
    left, right = _sequences("numpy.convolve", a, v)
    shorter, longer = sorted((len(left), len(right)))
    start = (shorter - 1) // 2
    return _convolved(left, right, _part(mode, "numpy.convolve", shorter, longer, start))


def correlate(a: Any, v: Any, mode: str = "valid") -> Any:
    """The sums of a[k + j] × v[j], in ascending order of j: the convolution of a with v reversed.

    Modes and counts are those of `convolve`.
    """
    left, right = _sequences("numpy.correlate", a, v)
    shorter, longer = sorted((len(left), len(right)))
    # numpy exchanges the sequences if v is the longer one, and turns the result around.
    start = (shorter - 1) // 2 if len(left) >= len(right) else shorter // 2
    return _convolved(left, right[::-1], _part(mode, "numpy.correlate", shorter, longer, start))


def _sequences(function: str, *values: Any) -> list[FloatArray]:
    arrays = arrays_for(function, *values)
    for array in arrays:
        if array.ndim > 1 or array.size == 0:
            raise OperandError(
                f"{function} needs sequences of at least one element, not an array of shape {array.shape}"
            )
    return arrays


def _part(mode: str, function: str, shorter: int, longer: int, start: int) -> range:
    """The places of the full convolution that a mode asks for."""
    if mode == "full":
        return range(shorter + longer - 1)
    if mode == "same":
        return range(start, start + longer)
    if mode == "valid":
        return range(shorter - 1, longer)
    raise OperandError(f"mode of {function} must be one of {', '.join(MODES)}, not {mode!r}")


def _convolved(a: FloatArray, v: FloatArray, part: range) -> FloatArray:
    """Some places of the convolution. All places that meet an element of the shorter sequence go at once."""
    total = FloatArray._of(a.format, np.empty(len(part), a._bits.dtype))
    begun = np.zeros(len(part), bool)
    by_first = len(a) <= len(v)
    shorter, longer = (a, v) if by_first else (v, a)
    # In ascending order of the place in `a` either way.
    for shift in range(len(shorter)) if by_first else reversed(range(len(shorter))):
        low, high = max(part.start, shift), min(part.stop, shift + len(longer))
        met, element = longer[low - shift : high - shift], shorter[shift]
        product = multiplication(element, met) if by_first else multiplication(met, element)
        places = slice(low - part.start, high - part.start)
        _add_where_begun(total[places], product, begun[places])
        begun[places] = True
    return total


def _add_where_begun(total: FloatArray, product: FloatArray, begun: Any) -> None:
    """Add products to sums, or begin the sums with them."""
    total[~begun] = product[~begun]
    total[begun] = addition(total[begun], product[begun])


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.diff: diff,
    np.convolve: convolve,
    np.correlate: correlate,
}
