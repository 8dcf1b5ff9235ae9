"""Python's operators that are several operations: powers, whole quotients and remainders."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

from softfloat_py.errors import OperandError
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.operands import as_data

# The operators, and numpy's functions that mean the same; divmod cannot be done in place.
COMPOSED = {"pow": "power", "floordiv": "floor_divide", "mod": "remainder", "divmod": "divmod"}
IN_PLACE = ("pow", "floordiv", "mod")


def install_composed_operators(cls: type) -> None:
    """Give a class these operators and their reflected forms."""
    for name, function in COMPOSED.items():
        setattr(cls, f"__{name}__", _operator(f"__{name}__", function, swapped=False))
        setattr(cls, f"__r{name}__", _operator(f"__r{name}__", function, swapped=True))


def install_in_place(cls: type) -> None:
    """Give a class of arrays those that put their result into the array itself."""
    for name in IN_PLACE:
        setattr(cls, f"__i{name}__", _in_place_operator(COMPOSED[name]))


def _operator(name: str, function: str, swapped: bool) -> Callable[..., Any]:
    def operator(self: Emulated, other: Any, *modulus: Any) -> Any:
        if modulus:
            raise OperandError("pow of emulated values needs two operands; a modulus is for ints")
        if function == "power" and not swapped:
            from softfloat_py.numbers.numpy_calls.powers import power

            return power(self, other)
        if function != "power":
            other = as_data(self._format, other, sys._getframe(1))
        return _call(self, function, (other, self) if swapped else (self, other))

    operator.__name__ = name
    operator.__doc__ = f"numpy.{function} of the operands{', exchanged' if swapped else ''}."
    return operator


def _in_place_operator(function: str) -> Callable[..., Any]:
    def operator(self: Emulated, other: Any) -> Any:
        if function != "power":
            other = as_data(self._format, other, sys._getframe(1))
        return _call(self, function, (self, other), out=(self,))

    return operator


def _call(value: Emulated, function: str, operands: tuple[Any, ...], **keywords: Any) -> Any:
    import numpy as np

    return value.__array_ufunc__(getattr(np, function), "__call__", *operands, **keywords)
