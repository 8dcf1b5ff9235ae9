"""How host arrays and sequences become encodings: constants of the program, many at a time, not counted."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.arrays.words import as_array, from_ints, int_of, storage_of, to_ints
from softfloat_py.errors import FormatError, MixedFormatsError, OperandError
from softfloat_py.numbers.constants import constant, is_real, refusal
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.host_formats import format_of_dtype
from softfloat_py.numbers.value_system import ValueSystem


def storage(fmt: ValueSystem) -> np.dtype[Any]:
    """The dtype for encodings: the smallest unsigned one, or a field for each 64-bit word, lowest first."""
    return storage_of(fmt.width)


def check_encodings(fmt: ValueSystem, bits: Any) -> NDArray[Any]:
    """A copy of integers as encodings: a host array of any dtype, of Python's ints too, or nested sequences.

    A format wider than 64 bits also takes an array in its `storage`. Raises FormatError where something does
    not fit the format.
    """
    dtype, given = storage(fmt), np.asarray(bits)
    if dtype.names is not None and given.dtype == dtype:
        fmt.check_encoding(max(to_ints(given), default=0))
        return given.copy()
    if given.dtype.kind == "f" and not isinstance(bits, np.ndarray):
        given = np.array(bits, dtype=object)  # ints that no dtype has in common come as floats
    if given.dtype == object:
        return from_ints([fmt.check_encoding(value) for value in given.flat], fmt.width).reshape(given.shape)
    if given.dtype.kind not in "iu" and given.size:
        raise FormatError(f"encodings of {fmt.name} must be integers, not {given.dtype}")
    for extreme in (given.min(initial=0), given.max(initial=0)) if given.size else ():
        fmt.check_encoding(int(extreme))
    encodings = as_array(given, fmt.width)
    return encodings.copy() if encodings is given else encodings


def encode_values(fmt: ValueSystem, values: Any) -> NDArray[Any]:
    """The encodings of what `fmt.array` accepts: a host array, a nested sequence of numbers, or an object of
    another library that gives a host array by `to_numpy()`.

    Raises OperandError for anything but numbers, MixedFormatsError for emulated ones of another format.
    """
    if isinstance(values, Emulated):
        return as_array(_same_format(fmt, values), fmt.width).copy()
    if hasattr(values, "to_numpy"):
        return encode_values(fmt, values.to_numpy())
    if isinstance(values, np.ndarray | np.generic):
        return _encode_host_array(fmt, np.asarray(values))
    objects = _as_objects(values)
    kinds = set(map(type, objects.flat))
    if kinds <= {float}:
        return fmt.encode_host_array(objects.astype(np.float64))
    return encode_each(fmt, objects)


def _encode_host_array(fmt: ValueSystem, values: NDArray[Any]) -> NDArray[Any]:
    if values.dtype.kind not in "iufO" and format_of_dtype(values.dtype) is None:
        raise OperandError(f"{fmt.name}.array needs an array of numbers, not of {values.dtype}")
    return fmt.encode_host_array(values)


def encode_each(fmt: ValueSystem, values: NDArray[Any]) -> NDArray[Any]:
    """The encodings of an array of numbers, one by one."""
    bits = [_encode_one(fmt, value) for value in values.flat]
    return from_ints(bits, fmt.width).reshape(values.shape)


def _encode_one(fmt: ValueSystem, value: Any) -> int:
    if isinstance(value, Emulated):
        bits = _same_format(fmt, value)
        return bits if type(bits) is int else int_of(bits.item())
    if not is_real(value):
        raise refusal("an element of an array", fmt.name, value)
    return constant(fmt, value)


def _same_format(fmt: ValueSystem, value: Emulated) -> Any:
    if value.format != fmt:
        raise MixedFormatsError(f"{fmt.name}.array", fmt.name, value.format.name)
    return value._bits


def _as_objects(values: Any) -> NDArray[Any]:
    """A nested sequence as an array of whatever is in it."""
    if isinstance(values, list | tuple):
        values = [value.tolist() if hasattr(value, "tolist") else value for value in values]
    objects = np.array(values, dtype=object)
    if any(isinstance(value, list | tuple) for value in objects.flat):
        unlike = list(dict.fromkeys(map(_as_row, objects.flat)))
        raise OperandError(f"an array needs rows of equal lengths, not {' beside '.join(unlike[:2])}")
    return objects


def _as_row(value: Any) -> str:
    return f"a row of {len(value)}" if isinstance(value, list | tuple) else "a single value"
