"""Which values may meet in one operation, and Python's operators made accordingly.

A Number or a FloatArray meets values of its own format, and constants of the program: Python ints, floats and
Fractions, numpy ints and floats, arrays without axes, which numpy makes of these, arrays of ints. So does an
array of objects that are all of these. Another format, a host array of floats, a bool, a complex number, a
text, a Decimal or an object of another library with values inside is an error that says what to write;
anything else is left to Python.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from types import FrameType
from typing import Any, NoReturn

from softfloat_py.errors import HostFloatError, MixedFormatsError, NotEmulatedError, OperandError
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.applying import apply, apply_arrays, note_operand
from softfloat_py.numbers.constants import constant, is_real, refusal
from softfloat_py.numbers.emulated import Composite, Emulated
from softfloat_py.numbers.integer_data import is_in_kernel, is_numpy_integer, kind_of
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation, Result
from softfloat_py.routines.sign_and_class import FloatClass
from softfloat_py.tally.tally import counting_now
from softfloat_py.uses import INTEGER_BITS

# Looking up a member takes longer than comparing with it.
_NUMBER, _TRUTH, _PAIR = Result.NUMBER, Result.TRUTH, Result.PAIR
FROM_INTEGER = OPERATIONS["convert_from_integer"]
REFUSED = (bool, complex, str, bytes, Decimal, list, tuple)
# Python's functions of a number that give an int; a Number has them, an array has not.
TO_INT = {
    "__round__": ("round", "round_to_integral_ties_to_even"),
    "__floor__": ("math.floor", "round_to_integral_toward_negative"),
    "__ceil__": ("math.ceil", "round_to_integral_toward_positive"),
    "__trunc__": ("math.trunc", "round_to_integral_toward_zero"),
}


def bits_beside(fmt: ValueSystem, other: object, operation: str, lenient: bool = False) -> Any:
    """The encodings of what stands beside a value of format `fmt`, or NotImplemented for a foreign type.

    Raises MixedFormatsError, HostFloatError or OperandError; a `lenient` caller, == of Numbers, gets
    NotImplemented in place of the last, and for a Number of another format too unless a tally is counting.
    """
    kind = type(other)
    if kind is float or kind is int:
        return constant(fmt, other)
    if isinstance(other, Emulated):
        if other._format != fmt:
            if lenient and type(other._bits) is int and counting_now.get() is None:
                return NotImplemented
            raise MixedFormatsError(operation, fmt.name, other._format.name)
        return other._bits
    if isinstance(other, Composite):
        return NotImplemented
    if is_real(other) and not is_numpy_integer(other):
        return constant(fmt, other)
    if hasattr(other, "to_numpy") or hasattr(other, "dtype"):
        return _numpy_bits_beside(fmt, other, operation)
    if isinstance(other, REFUSED) and not lenient:
        raise refusal(operation, fmt.name, other)
    return NotImplemented


def _numpy_bits_beside(fmt: ValueSystem, other: Any, operation: str) -> Any:
    """As above, for what numpy makes apart from real scalars, and what other libraries make like it."""
    import numpy as np

    from softfloat_py.numbers.array_constants import encode_values
    from softfloat_py.numbers.host_formats import format_of_dtype

    of_numpy = isinstance(other, np.ndarray | np.generic)
    if not of_numpy:
        values = "values.to_numpy()" if hasattr(other, "to_numpy") else "numpy.asarray(values)"
        raise OperandError(
            f"{operation} of {fmt.name} needs emulated operands, not a {type(other).__name__}; "
            f"write {fmt.name}.array({values}) for it where it enters the kernel"
        )
    if isinstance(other, np.ndarray) and other.ndim == 0:  # what numpy makes of its scalars to compare them
        return bits_beside(fmt, other[()], operation)
    kind = other.dtype.kind
    if kind in "iu":
        return converted_integers(fmt, other)._bits
    if kind == "O":
        return encode_values(fmt, other)
    if kind in "fc" or format_of_dtype(other.dtype) is not None:
        raise HostFloatError(operation, str(other.dtype), fmt.name)
    raise OperandError(
        f"{operation} of {fmt.name} needs integers where numpy's values stand beside it, not {other.dtype}; "
        f"convert them first, for example {fmt.name}.array(values)"
    )


def format_of(values: Iterable[Any]) -> ValueSystem:
    """The format of the first emulated value, those within lists and tuples too."""
    for value in _single_values(values):
        if isinstance(value, Emulated):
            return value.format
    raise OperandError(
        "an emulated value must stand where numpy's function has its values, without a keyword"
    )


def _single_values(values: Iterable[Any]) -> Iterator[Any]:
    for value in values:
        if isinstance(value, list | tuple):
            yield from _single_values(value)
        else:
            yield value


def combined(operation: Operation, fmt: ValueSystem, bits: tuple[Any, ...], parameter: Any = None) -> Any:
    """An operation on encodings, ints or arrays, as the value it delivers."""
    for operand in bits:
        if type(operand) is not int:
            result: Any = apply_arrays(operation, fmt, bits, parameter)
            break
    else:
        result = apply(operation, fmt, bits, parameter)
    kind = operation.result
    if kind is _NUMBER:
        return fmt.value_of(result)
    if kind is _TRUTH:
        return result == 1 if type(result) is int else result
    if kind is _PAIR:
        return tuple(fmt.value_of(part) for part in result)
    if kind is Result.CLASS:
        return FloatClass(result) if type(result) is int else result
    return integers(result, parameter) if kind is Result.INTEGER else parameter.value_of(result)


def integers(bits: Any, integer: IntegerFormat | None) -> Any:
    """The integers with these bits, of 32 bits and signed if nothing is stated; an array keeps its size."""
    width = integer.width if integer is not None else INTEGER_BITS
    if integer is not None and not integer.signed:
        return bits
    if type(bits) is int:
        return bits - (bits >> (width - 1) << width)
    unused = 8 * bits.itemsize - width
    return (bits << unused).view(f"i{bits.itemsize}") >> unused


def converted_integers(fmt: ValueSystem, value: Any) -> Any:
    """An int, a numpy int or a host array of ints in a format, as the target converts integer data.

    Counted as convert_from_integer for each, in numpy's width; a Python int in a variable of 32 or 64 bits.
    """
    integer = kind_of(value)
    mask = (1 << integer.width) - 1
    if getattr(value, "ndim", 0) == 0:
        return combined(FROM_INTEGER, fmt, (int(value) & mask,), integer)
    import numpy as np

    return combined(FROM_INTEGER, fmt, (value.view(np.ndarray).astype("i8").view("u8") & mask,), integer)


def install_operators(cls: type, make: Callable[[Operation, bool], Callable[..., Any]]) -> None:
    """Give a class the operators of the table.

    `make` makes an operator from an operation, and its reflected form if told so.
    """
    for operation in OPERATIONS.values():
        for swapped in (False, True):
            name = operator_name(operation, swapped)
            if name is not None:
                setattr(cls, name, named(make(operation, swapped), name, operation))


def operator_name(operation: Operation, swapped: bool) -> str | None:
    """The name of Python's method for an operation, or of its reflected form; None where there is none."""
    name = operation.operator
    if name is None or not swapped:
        return name
    reflects = operation.arity == 2 and operation.result is Result.NUMBER
    return f"__r{name[2:]}" if reflects else None


def refuse_operators(cls: type, refused: Mapping[str, tuple[str, str]]) -> None:
    """Make a class's operators errors that say what to write instead."""
    for name, (sign, nearest) in refused.items():
        setattr(cls, name, _refusal(sign, nearest))


def named(function: Callable[..., Any], name: str, operation: Operation) -> Callable[..., Any]:
    """A function as the operator of this name."""
    function.__name__ = function.__qualname__ = name
    function.__doc__ = f"The operation {operation.name} ({operation.source})."
    return function


def _unary_operator(operation: Operation) -> Callable[..., Any]:
    def operator(self: Emulated) -> Any:
        return combined(operation, self._format, (self._bits,))

    return operator


def as_data(fmt: ValueSystem, value: Any, frame: FrameType) -> Any:
    """An int that a kernel's function has as data, as the target converts it; anything else as it is."""
    return converted_integers(fmt, value) if type(value) is int and is_in_kernel(frame) else value


def array_operator(operation: Operation, swapped: bool) -> Callable[..., Any]:
    """An operator of arrays or, `swapped`, its reflected form."""
    if operation.arity == 1:
        return _unary_operator(operation)

    def operator(self: Emulated, other: Any) -> Any:
        other = as_data(self._format, other, sys._getframe(1))
        x, y = self._bits, bits_beside(self._format, other, operation.name)
        if y is NotImplemented:
            return y
        if not isinstance(other, Emulated):
            note_operand(other)
        return combined(operation, self._format, (y, x) if swapped else (x, y))

    return operator


def _refusal(sign: str, nearest: str) -> Callable[..., Any]:
    def operator(self: Emulated, *others: object) -> NoReturn:
        raise NotEmulatedError(sign, nearest)

    return operator
