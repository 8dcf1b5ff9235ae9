"""What a Number and an array have in common: encodings, and the number system that they are in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softfloat_py.numbers.value_system import ValueSystem

if TYPE_CHECKING:
    from softfloat_py.numbers.formats import Format


class Emulated:
    """What holds encodings of a number system."""

    __slots__ = ("_bits", "_format")
    # By pandas' protocol for types of others, its columns and tables leave operators to us, which say what to
    # write; a DataFrame, the highest of its own, has 4000.
    __pandas_priority__ = 5000

    _bits: Any  # an int, or an unsigned numpy array
    _format: ValueSystem

    @property
    def format(self) -> Format:
        """The format of the encodings."""
        return self._format  # type: ignore[return-value]  # of the systems there are, users have this one

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **keywords: Any) -> Any:
        """What numpy calls for its element-wise functions; see numpy_calls.dispatching."""
        from softfloat_py.numbers.numpy_calls.dispatching import call_ufunc

        return call_ufunc(ufunc, method, inputs, keywords)

    def __array_function__(self, function: Any, types: Any, arguments: Any, keywords: Any) -> Any:
        """What numpy calls for its other functions; see numpy_calls.dispatching. Complex values go first."""
        from softfloat_py.numbers.numpy_calls.dispatching import call_function

        if any(issubclass(kind, Composite) for kind in types):
            return NotImplemented
        return call_function(function, arguments, keywords)


class Composite:
    """What is made of several emulated values, as a complex one is: beside a single one it takes over."""

    __slots__ = ()
