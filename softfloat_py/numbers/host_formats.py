"""Host dtypes that are formats of this library, and how arrays of them become encodings and back, exactly.

numpy's float16, float32 and float64; its longdouble where that is the 80-bit format; and those dtypes of the
ml_dtypes package that are formats here. That package is not needed: its dtypes are known by their names.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import DTypeLike, NDArray

from softfloat_py.engines.arrays.words import storage_of
from softfloat_py.errors import FormatError
from softfloat_py.formats import NAMED_FORMATS, BinaryFormat

HOST_FORMATS: dict[np.dtype[Any], BinaryFormat] = {
    np.dtype(np.float16): NAMED_FORMATS["binary16"],
    np.dtype(np.float32): NAMED_FORMATS["binary32"],
    np.dtype(np.float64): NAMED_FORMATS["binary64"],
}
if np.finfo(np.longdouble).nmant == 63:
    HOST_FORMATS[np.dtype(np.longdouble)] = NAMED_FORMATS["extended80"]
# By the names that ml_dtypes gives to its dtypes.
REGISTERED_FORMATS = {
    "bfloat16": NAMED_FORMATS["bfloat16"],
    "float8_e4m3fn": NAMED_FORMATS["ofp8_e4m3"],
    "float8_e5m2": NAMED_FORMATS["ofp8_e5m2"],
}
EXTENDED_BYTES = 10  # of a longdouble that mean something, the lowest first


def format_of_dtype(dtype: np.dtype[Any]) -> BinaryFormat | None:
    """The format in which a dtype's values are encoded; None if it is none of this library's."""
    return HOST_FORMATS.get(dtype.newbyteorder("=")) or REGISTERED_FORMATS.get(dtype.name)


def same_encodings(fmt: BinaryFormat, other: BinaryFormat) -> bool:
    """Whether two formats differ in nothing but their names."""
    return fmt.parameters == other.parameters


def holds(host: BinaryFormat, fmt: BinaryFormat) -> bool:
    """Whether every value of a format, infinities too, is one of the host's format."""
    finest = fmt.emin - fmt.trailing_bits >= host.emin - host.trailing_bits
    coarsest = fmt.precision <= host.precision and fmt.emax <= host.emax
    return finest and coarsest and (host.has_infinity or not fmt.has_infinity)


def encodings_of(values: NDArray[Any], host: BinaryFormat) -> NDArray[Any]:
    """The encodings that a host array of a format is made of."""
    native = np.array(values, values.dtype.newbyteorder("="), order="C", copy=None)
    if not host.explicit_leading_bit:
        return native.view(f"u{native.itemsize}")
    storage = storage_of(host.width)
    raw = np.zeros((*native.shape, storage.itemsize), np.uint8)
    raw[..., :EXTENDED_BYTES] = native[..., np.newaxis].view(np.uint8)[..., :EXTENDED_BYTES]
    return raw.view(storage)[..., 0]


def host_array(bits: NDArray[Any], host: BinaryFormat, dtype: np.dtype[Any]) -> NDArray[Any]:
    """A new host array of a format, made of its encodings, in the byte order of the dtype."""
    values = _native_array(bits, host, dtype.newbyteorder("="))
    return values if dtype.isnative else values.byteswap().view(dtype)


def _native_array(bits: NDArray[Any], host: BinaryFormat, dtype: np.dtype[Any]) -> NDArray[Any]:
    if not host.explicit_leading_bit:
        return np.array(bits.view(dtype))
    raw = np.zeros((*bits.shape, dtype.itemsize), np.uint8)
    stored = np.array(bits, order="C")[..., np.newaxis].view(np.uint8)
    raw[..., :EXTENDED_BYTES] = stored[..., :EXTENDED_BYTES]
    return raw.view(dtype)[..., 0]


def host_dtype_for(fmt: BinaryFormat, wanted: DTypeLike | None) -> tuple[np.dtype[Any], BinaryFormat]:
    """The dtype that holds every value of a format, the one wanted if it does, and the dtype's own format.

    Raises FormatError where the dtype wanted does not, or where neither an equal format nor float64 does.
    """
    if wanted is None:
        return _usual_dtype(fmt)
    dtype = np.dtype(wanted)
    host = format_of_dtype(dtype)
    if host is None:
        raise FormatError(f"to_numpy needs a float dtype that is a format here, not {dtype}")
    if not holds(host, fmt):
        raise FormatError(
            f"to_numpy needs a dtype with all values of {fmt.name}, and {dtype} ({host.name}) has not; "
            f"convert first, for example astype({host.name}), which rounds"
        )
    return dtype, host


def _usual_dtype(fmt: BinaryFormat) -> tuple[np.dtype[Any], BinaryFormat]:
    for dtype, host in HOST_FORMATS.items():
        if same_encodings(fmt, host):
            return dtype, host
    usual = np.dtype(np.float32 if same_encodings(fmt, NAMED_FORMATS["bfloat16"]) else np.float64)
    if not holds(HOST_FORMATS[usual], fmt):
        raise FormatError(
            f"to_numpy needs a format whose values float64 has, and {fmt.name} has more; "
            "use bits, or astype(binary64), which rounds"
        )
    return usual, HOST_FORMATS[usual]
