"""What a kernel returned, in a few words: long results are cut between their elements, never inside one."""

from __future__ import annotations

import reprlib
import sys
from typing import Any

import numpy as np

from softfloat_py.numbers.array import FloatArray

_LONGEST = 110  # characters of an element that is shown as it is
_SHOWN = 6  # elements of a list or of an array


class _Shortened(reprlib.Repr):
    """Python's own shortener, which would cut the text of an object in its middle."""

    def __init__(self) -> None:
        super().__init__()
        self.maxtuple = self.maxlist = self.maxdict = self.maxset = self.maxfrozenset = _SHOWN
        self.maxdeque = self.maxarray = _SHOWN
        self.maxstring = self.maxlong = _LONGEST
        self.maxother = sys.maxsize  # cut here, at a comma

    def repr_int(self, value: int, level: int) -> str:
        """An int; of one with more digits than Python writes, how long it is."""
        try:
            return super().repr_int(value, level)
        except ValueError:
            return f"an int of {value.bit_length()} bits"

    def repr_instance(self, value: Any, level: int) -> str:
        """An object as it shows itself; an array of many elements by the first of them and its shape."""
        if isinstance(value, FloatArray):
            return _array(value, f"{value.format.name}.array")
        if isinstance(value, np.ndarray):
            return _array(value, "array")
        return _cut(super().repr_instance(value, level))


def returned(value: Any) -> str:
    """A value on one line, as `repr` has it where that is short."""
    return " ".join(_Shortened().repr(value).split())


def _array(values: Any, name: str) -> str:
    if values.size <= _SHOWN:
        return repr(values)
    first = ", ".join(map(str, values.reshape(-1)[:_SHOWN]))
    return f"{name}([{first}, ...]), shape {values.shape}"


def _cut(text: str) -> str:
    """A text up to the last comma that there is room for."""
    return text if len(text) <= _LONGEST else text[:_LONGEST].rpartition(",")[0] + ", ..."
