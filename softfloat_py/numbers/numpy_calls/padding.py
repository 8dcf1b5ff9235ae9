"""Samples put around an array: constants, or its own elements again. Data is moved, and nothing counted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import NotEmulatedError
from softfloat_py.numbers.array import FloatArray, encodings_for

MOVING = ("constant", "edge", "reflect", "symmetric", "wrap", "empty")


def pad(array: Any, pad_width: Any, mode: Any = "constant", **kwargs: Any) -> FloatArray:
    """The array with samples around it, as many along each axis as `pad_width` says (numpy.pad).

    Modes are constant (zeros, or `constant_values`), edge, reflect, symmetric, wrap and empty, which is zeros
    here. The others compute what they put there, and so does reflect_type="odd": NotEmulatedError.
    """
    if mode not in MOVING:
        raise NotEmulatedError(f"mode={mode!r} of numpy.pad", f"its modes {', '.join(MOVING)}")
    if kwargs.get("reflect_type", "even") != "even":
        raise NotEmulatedError(
            "reflect_type='odd' of numpy.pad", "reflect_type='even', or a subtraction from twice the edge"
        )
    fmt, bits = array.format, np.asarray(array._bits)
    constants = np.zeros((bits.ndim, 2), bits.dtype)
    # numpy pads the places of elements, behind which those of the constants follow.
    places = np.arange(bits.size).reshape(bits.shape)
    if mode in ("constant", "empty"):
        mode = "constant"
        constants[...] = encodings_for(fmt, kwargs.get("constant_values", 0), "numpy.pad")
        kwargs["constant_values"] = bits.size + np.arange(constants.size).reshape(constants.shape)
    everything = np.concatenate((bits.ravel(), constants.ravel()))
    return FloatArray._of(fmt, everything[np.pad(places, pad_width, mode, **kwargs)])


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {np.pad: pad}
