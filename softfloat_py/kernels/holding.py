"""What a value holds: numbers of the run, or floats of the host that should be."""

from __future__ import annotations

from typing import Any

import numpy as np

from softfloat_py.numbers.complex.complex_value import ComplexValue
from softfloat_py.numbers.emulated import Emulated


def is_emulated(value: Any) -> bool:
    """Whether a value is a number or an array of the run's, or a complex one."""
    return isinstance(value, Emulated | ComplexValue)


def holds_emulated(value: Any) -> bool:
    """Whether a value is emulated, or a sequence with such in it."""
    return any(map(holds_emulated, value)) if isinstance(value, list | tuple) else is_emulated(value)


def holds_floats(value: Any) -> bool:
    """Whether a result of the host's has floats of the host in it."""
    if isinstance(value, tuple | list):
        return any(map(holds_floats, value))
    dtype = getattr(value, "dtype", None)
    return dtype.kind in "fc" if isinstance(dtype, np.dtype) else isinstance(value, float | complex)
