"""What a complex number and a complex array have in common: two parts of one format, and Python's operators.

A complex value meets complex and real emulated values of its format, and constants of the program: Python and
numpy numbers, real and complex. All arithmetic is that of `complex_arithmetic`, counted by its operations.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from numbers import Complex
from typing import Any, Self

import numpy as np

from softfloat_py.errors import MixedFormatsError, OperandError
from softfloat_py.numbers.applying import note_operand
from softfloat_py.numbers.complex import complex_arithmetic as arithmetic
from softfloat_py.numbers.complex.complex_arithmetic import Pair
from softfloat_py.numbers.constants import is_real
from softfloat_py.numbers.emulated import Composite, Emulated
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import as_data, bits_beside, refuse_operators
from softfloat_py.numbers.value_system import ValueSystem

PARTS = "comparisons of real parts, of imaginary parts, or of what abs gives"
PRODUCTS = "multiplication and sum"
EQUALITIES = (arithmetic.equality, arithmetic.inequality)
REFUSED = {
    **{f"__{name}__": (sign, PARTS) for name, sign in (("lt", "<"), ("le", "<="), ("gt", ">"), ("ge", ">="))},
    **dict.fromkeys(("__matmul__", "__rmatmul__"), ("@ of complex values", PRODUCTS)),
    **dict.fromkeys(("__pow__", "__rpow__"), ("** of complex values", "multiplication")),
}


class ComplexValue(Composite):
    """A pair of a real and an imaginary part of one format."""

    __slots__ = ("_imag", "_real")

    _real: Any  # a Number or a FloatArray; both are the same, of one shape
    _imag: Any

    @classmethod
    def _of(cls, real: Any, imag: Any) -> Self:
        """The door without a check; the value shares the memory of its parts."""
        value = object.__new__(cls)
        value._real, value._imag = real, imag
        return value

    @property
    def format(self) -> Any:
        """The format of both parts."""
        return self._real.format

    @property
    def pair(self) -> Pair:
        """Both parts."""
        return Pair(self._real, self._imag)

    def conjugate(self) -> Any:
        """The imaginary part negated, which is one operation an element."""
        return combined(arithmetic.conjugation, self.pair)

    conj = conjugate

    # -- arithmetic ---------------------------------------------------------------------------------

    def _beside(self, function: Callable[..., Any], other: object, swapped: bool = False) -> Any:
        lenient = function in EQUALITIES and isinstance(self._real, Number)
        other = as_data(self.format, other, sys._getframe(2))
        pair = pair_beside(self.format, other, f"complex {function.__name__}", lenient)
        if pair is NotImplemented:
            return NotImplemented
        if not isinstance(other, Emulated | Composite):
            note_operand(other)
        return combined(function, *((pair, self.pair) if swapped else (self.pair, pair)))

    def __add__(self, other: Any) -> Any:
        return self._beside(arithmetic.addition, other)

    def __radd__(self, other: Any) -> Any:
        return self._beside(arithmetic.addition, other, swapped=True)

    def __sub__(self, other: Any) -> Any:
        return self._beside(arithmetic.subtraction, other)

    def __rsub__(self, other: Any) -> Any:
        return self._beside(arithmetic.subtraction, other, swapped=True)

    def __mul__(self, other: Any) -> Any:
        return self._beside(arithmetic.product, other)

    def __rmul__(self, other: Any) -> Any:
        return self._beside(arithmetic.product, other, swapped=True)

    def __truediv__(self, other: Any) -> Any:
        return self._beside(arithmetic.quotient, other)

    def __rtruediv__(self, other: Any) -> Any:
        return self._beside(arithmetic.quotient, other, swapped=True)

    def __eq__(self, other: Any) -> Any:
        return self._beside(arithmetic.equality, other)

    def __ne__(self, other: Any) -> Any:
        return self._beside(arithmetic.inequality, other)

    __hash__ = None  # type: ignore[assignment]

    def __neg__(self) -> Any:
        return combined(arithmetic.negation, self.pair)

    def __pos__(self) -> Any:
        return complex_of(+self._real, +self._imag)

    def __abs__(self) -> Any:
        return arithmetic.magnitude(self.pair)

    # -- numpy --------------------------------------------------------------------------------------

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **keywords: Any) -> Any:
        """What numpy calls for its element-wise functions; see complex_functions."""
        from softfloat_py.numbers.complex.complex_functions import call_ufunc

        return call_ufunc(ufunc, method, inputs, keywords)

    def __array_function__(self, function: Any, types: Any, arguments: Any, keywords: Any) -> Any:
        """What numpy calls for its other functions; see complex_functions."""
        from softfloat_py.numbers.complex.complex_functions import call_function

        return call_function(function, arguments, keywords)

    def __array__(self, *arguments: Any, **keywords: Any) -> Any:
        raise OperandError("a host array is not made of emulated numbers silently; write to_numpy()")


refuse_operators(ComplexValue, REFUSED)


def is_complex(value: object) -> bool:
    """Whether a value is a complex constant of the program, of Python or numpy."""
    return isinstance(value, Complex) and not is_real(value) and not isinstance(value, bool)


def pair_beside(fmt: ValueSystem, other: Any, operation: str, lenient: bool = False) -> Any:
    """The parts of what stands beside a complex value of a format, or NotImplemented for a foreign type.

    Raises MixedFormatsError, HostFloatError or OperandError, as `operands.bits_beside` does; a `lenient`
    caller, == of numbers, gets NotImplemented in place of the last.
    """
    if isinstance(other, ComplexValue):
        if other.format != fmt:
            raise MixedFormatsError(operation, fmt.name, other.format.name)
        return other.pair
    if is_complex(other):
        parts = (bits_beside(fmt, part, operation) for part in (other.real, other.imag))
        return Pair(*(fmt.value_of(bits) for bits in parts))
    if isinstance(other, np.ndarray) and other.ndim == 0 and other.dtype.kind == "c":
        return pair_beside(fmt, other[()], operation)  # what numpy makes of its scalars beside ==
    bits = bits_beside(fmt, other, operation, lenient)
    return bits if bits is NotImplemented else Pair(fmt.value_of(bits))


def combined(function: Callable[..., Any], *pairs: Pair) -> Any:
    """A formula of `complex_arithmetic` on values, which broadcast, as the value it delivers.

    They are spread out first: all steps are taken for each element, as in a loop over them.
    """
    shapes = {getattr(pair.real, "shape", ()) for pair in pairs}  # a Number has none
    if len(shapes) > 1:
        shape = np.broadcast_shapes(*shapes)
        pairs = tuple(_spread(pair, shape) for pair in pairs)
    result = function(*pairs)
    return complex_of(*result) if isinstance(result, Pair) else result


def _spread(pair: Pair, shape: tuple[int, ...]) -> Pair:
    return Pair(*(None if part is None else np.broadcast_to(part, shape) for part in pair))


def complex_of(real: Any, imag: Any) -> Any:
    """The complex number or, of arrays of one shape, the complex array with these parts."""
    real, imag = (x if isinstance(x, Number) or x.ndim else x.item() for x in (real, imag))
    return real.format.complex_value_of(real, imag)
