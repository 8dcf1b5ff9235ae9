"""How host arrays and sequences become encodings: constants of the program, many at a time.

The conversion is the library's own routine, run on the encodings the host has for them; nothing is counted,
and no flags are raised.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines import arrays
from softfloat_py.engines.array_support import dtype_of
from softfloat_py.environment import current
from softfloat_py.errors import FormatError, MixedFormatsError, OperandError
from softfloat_py.formats import Format, binary16, binary32, binary64
from softfloat_py.numbers.constants import constant, is_real, refusal
from softfloat_py.numbers.operands import Emulated
from softfloat_py.operations import OPERATIONS, program_of
from softfloat_py.options import COMPLETE

HOST_FORMATS: dict[np.dtype[Any], Format] = {
    np.dtype(np.float16): binary16,
    np.dtype(np.float32): binary32,
    np.dtype(np.float64): binary64,
}
LARGEST_WIDTH = 64
INTEGER_WIDTH = 64
# Below so many values, one by one is quicker than the array engine's fixed cost.
FEW = 64


def storage(fmt: Format) -> np.dtype[Any]:
    """The smallest unsigned dtype for encodings; FormatError for a format wider than 64 bits."""
    if fmt.width > LARGEST_WIDTH:
        raise FormatError(
            f"arrays hold encodings of up to {LARGEST_WIDTH} bits, not the {fmt.width} of {fmt.name}; "
            "compute with single numbers instead"
        )
    return np.dtype(dtype_of(fmt.width))


def check_encodings(fmt: Format, bits: Any) -> NDArray[Any]:
    """A copy of integers of any dtype as encodings; FormatError where one does not fit the format."""
    dtype, given = storage(fmt), np.asarray(bits)
    if given.dtype.kind not in "iu" and given.size:
        raise FormatError(f"encodings of {fmt.name} must be integers, not {given.dtype}")
    for extreme in (given.min(initial=0), given.max(initial=0)) if given.size else ():
        fmt.check_encoding(int(extreme))
    return given.astype(dtype)


def encode_values(fmt: Format, values: Any) -> NDArray[Any]:
    """The encodings of what `fmt.array` accepts: a host array, or a nested sequence of numbers.

    Raises OperandError for anything but numbers, MixedFormatsError for emulated ones of another format.
    """
    storage(fmt)
    if isinstance(values, Emulated):
        return np.array(_same_format(fmt, values), storage(fmt))
    if isinstance(values, np.ndarray | np.generic):
        return encode_host_array(fmt, np.asarray(values))
    objects = _as_objects(values)
    kinds = set(map(type, objects.flat))
    if kinds <= {float}:
        return encode_host_array(fmt, objects.astype(np.float64))
    return _encode_each(fmt, objects)


def encode_host_array(fmt: Format, values: NDArray[Any]) -> NDArray[Any]:
    """The encodings of a host array of floats or integers."""
    if values.dtype.kind in "iu":
        return encode_integers(fmt, values)
    if values.dtype.kind != "f" and values.dtype != object:
        raise OperandError(f"{fmt.name}.array needs an array of numbers, not of {values.dtype}")
    host_dtype = values.dtype.newbyteorder("=")
    if host_dtype not in HOST_FORMATS or values.size < FEW:
        return _encode_each(fmt, values)
    bits = values.astype(host_dtype).view(f"u{host_dtype.itemsize}")
    return converted_format(HOST_FORMATS[host_dtype], fmt, bits)


def encode_integers(fmt: Format, values: NDArray[Any]) -> NDArray[Any]:
    """The encodings of a host array of integers."""
    if values.size < FEW or values.max() > np.iinfo(np.int64).max:
        return _encode_each(fmt, values)
    return _converted("convert_from_integer", fmt, INTEGER_WIDTH, values.astype(np.int64).view(np.uint64))


def converted_format(fmt: Format, target: Format, bits: NDArray[Any]) -> NDArray[Any]:
    """Encodings of a format as those of a target format."""
    return _converted("convert_format", fmt, target, bits)


def _converted(name: str, fmt: Format, parameter: Any, bits: NDArray[Any]) -> NDArray[Any]:
    program = program_of(OPERATIONS[name], fmt, COMPLETE, parameter)
    return arrays.compiled(program).run((bits,), current.get().direction, keep_counts=False).result


def _encode_each(fmt: Format, values: NDArray[Any]) -> NDArray[Any]:
    bits = (_encode_one(fmt, value) for value in values.flat)
    return np.fromiter(bits, storage(fmt), values.size).reshape(values.shape)


def _encode_one(fmt: Format, value: Any) -> int:
    if isinstance(value, Emulated):
        return int(_same_format(fmt, value))
    if not is_real(value):
        raise refusal("an element of an array", fmt, value)
    return constant(fmt, value)


def _same_format(fmt: Format, value: Emulated) -> Any:
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
