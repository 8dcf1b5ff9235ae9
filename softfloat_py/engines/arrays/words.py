"""Encodings in numpy arrays: the dtype that holds them, their words, and the way to Python's ints and back.

Up to 64 bits an encoding is an element of the smallest unsigned dtype. A wider one is an element with a field
for each of its 64-bit words, lowest first: whatever moves elements, numpy's own functions included, then
moves all the words of an encoding together, and only what stands here knows of the words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.arrays.support import dtype_of
from softfloat_py.lowering.words import count_words

WORD = 64
_WORD_MASK = (1 << WORD) - 1


@cache
def storage_of(width: int) -> np.dtype[Any]:
    """The dtype that holds `width` bits: the smallest unsigned one, or fields word0, word1 and so on."""
    if width <= WORD:
        return np.dtype(dtype_of(width))
    return np.dtype([(f"word{index}", np.uint64) for index in range(count_words(width, WORD))])


def words_of(array: NDArray[Any]) -> list[NDArray[Any]]:
    """An array's words, lowest first, in its own memory."""
    names = array.dtype.names
    return [array] if names is None else [array[name] for name in names]


def to_ints(array: NDArray[Any]) -> list[int]:
    """The elements of an array one after the other, the last index fastest."""
    lowest, *higher = (word.ravel().tolist() for word in words_of(array))
    for place, words in enumerate(higher, 1):
        lowest = [low | word << (place * WORD) for low, word in zip(lowest, words, strict=True)]
    return lowest


def int_of(item: int | tuple[int, ...]) -> int:
    """One element as numpy's `item` gives it, a tuple where it has fields."""
    if not isinstance(item, tuple):
        return int(item)
    return sum(word << (place * WORD) for place, word in enumerate(item))


def from_ints(values: Sequence[int], width: int) -> NDArray[Any]:
    """Ints that `width` bits hold as an array with one axis."""
    dtype = storage_of(width)
    if dtype.names is None:
        return np.array(values, dtype)
    array = np.empty(len(values), dtype)
    for place, words in enumerate(words_of(array)):
        words[...] = [value >> (place * WORD) & _WORD_MASK for value in values]
    return array


def as_array(value: Any, width: int) -> NDArray[Any]:
    """An array in the dtype for `width` bits: itself if it has that; an int as an array without axes."""
    if type(value) is int:
        return from_ints([value], width).reshape(())
    dtype = storage_of(width)
    if dtype.names is None or value.dtype == dtype:
        return value if type(value) is np.ndarray and value.dtype == dtype else np.asarray(value, dtype)
    array = np.zeros(value.shape, dtype)
    array[dtype.names[0]] = value
    return array


def aligned(operands: Iterable[Any], widths: Iterable[int]) -> tuple[NDArray[Any], ...]:
    """Arrays and ints, each of a width, as arrays of one shape."""
    arrays = tuple(as_array(operand, width) for operand, width in zip(operands, widths, strict=True))
    if all(array.shape == arrays[0].shape for array in arrays):
        return arrays
    return tuple(np.broadcast_arrays(*arrays))
