"""Integers that meet floating point: literals of the program's text, and data that the target converts."""

from __future__ import annotations

from types import FrameType
from typing import Any

from softfloat_py.formats import IntegerFormat

# The widths that a program has for integer variables, in bits.
VARIABLES = IntegerFormat(32), IntegerFormat(64)
# Builtins with this name are those of a kernel's functions, whose int literals are `Literal`.
KERNEL = "kernel of emulated functions"


class Literal(int):
    """An int that stands in the text of a kernel: beside a float it is a constant, converted by no run."""

    __slots__ = ()


def is_in_kernel(frame: FrameType) -> bool:
    """Whether a frame runs a kernel's function, where an int that is no `Literal` is data."""
    return KERNEL in frame.f_builtins


def kernel_of(frame: FrameType) -> Any:
    """The world that a frame's function computes in if it is a kernel's, else None."""
    return frame.f_builtins.get(KERNEL)


def variable_for(value: int, written: object = None) -> IntegerFormat:
    """The integer variable that a program has for a value: of 32 bits or, where it needs them, 64.

    Raises OverflowError for a value that 64 bits do not hold; its sentence has the value as `written`, if
    that is given.
    """
    for integer in VARIABLES:
        if integer.lowest <= value <= integer.highest:
            return integer
    said = value if written is None else written
    raise OverflowError(f"an integer variable has at most 64 bits, and {said} needs {value.bit_length()}")


def is_numpy_integer(value: Any) -> bool:
    """Whether a value is a numpy int or an array of ints, which is data wherever it stands."""
    return getattr(getattr(value, "dtype", None), "kind", "") in ("i", "u")


def is_integer(value: Any) -> bool:
    """Whether a value is a single int, of Python or numpy; a bool is none."""
    if isinstance(value, int):
        return not isinstance(value, bool)
    return is_numpy_integer(value) and value.ndim == 0


def kind_of(value: Any) -> IntegerFormat:
    """What an int, a numpy int or a host array of ints is on the target: numpy's own width, or a variable."""
    if hasattr(value, "dtype"):
        return IntegerFormat(8 * value.dtype.itemsize, value.dtype.kind == "i")
    return variable_for(int(value))
