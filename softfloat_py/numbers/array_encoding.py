"""How a host array becomes encodings of a binary format, many at a time.

The conversion is the library's own routine, run on the encodings the host has for them; nothing is counted,
and no flags are raised.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import DTypeLike, NDArray

from softfloat_py.engines import arrays
from softfloat_py.environment import current
from softfloat_py.formats import BinaryFormat, IntegerFormat
from softfloat_py.numbers.encoding import SATURATING
from softfloat_py.numbers.host_formats import (
    REGISTERED_FORMATS,
    encodings_of,
    format_of_dtype,
    host_array,
    host_dtype_for,
    same_encodings,
)
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE
from softfloat_py.uses import use_of

INTEGER = IntegerFormat(64)
# Below so many values, one by one is quicker than the array engine's fixed cost.
FEW = 64


def encodings_by_arrays(fmt: BinaryFormat, values: NDArray[Any]) -> NDArray[Any] | None:
    """The encodings of a host array of floats or integers; of the same ml_dtypes format, its own bits.

    None where they are to be converted one by one.
    """
    saturate = current.get().options.saturate
    if values.dtype.kind in "iu":
        if values.size < FEW or values.max() > np.iinfo(np.int64).max:
            return None
        bits = values.astype(np.int64).view(np.uint64)
        return _converted("convert_from_integer", fmt, INTEGER, bits, saturate)
    host, named = format_of_dtype(values.dtype), values.dtype.name in REGISTERED_FORMATS
    if host is None or (values.size < FEW and not named):
        return None
    bits = encodings_of(values, host)
    if named and same_encodings(fmt, host):
        return bits.copy()
    return _converted("convert_format", host, fmt, bits, saturate)


def exact_host_array(fmt: BinaryFormat, bits: NDArray[Any], dtype: DTypeLike | None) -> NDArray[Any]:
    """The exact values of encodings in a new host array; see `FloatArray.to_numpy`."""
    host_dtype, host = host_dtype_for(fmt, dtype)
    if not same_encodings(fmt, host):
        bits = _converted("convert_format", fmt, host, bits, saturate=False)
    return host_array(bits, host, host_dtype)


def _converted(
    name: str, fmt: BinaryFormat, parameter: Any, bits: NDArray[Any], saturate: bool
) -> NDArray[Any]:
    use = use_of(OPERATIONS[name], fmt, SATURATING if saturate else COMPLETE, parameter)
    return arrays.compiled(use.program).run((bits,), current.get().direction, keep_counts=False).results[0]
