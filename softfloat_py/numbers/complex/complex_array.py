"""Arrays of emulated complex numbers: two FloatArrays of one shape."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from html import escape
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.complex.complex_number import ComplexNumber
from softfloat_py.numbers.complex.complex_value import ComplexValue, complex_of, is_complex, pair_beside
from softfloat_py.numbers.operands import as_data
from softfloat_py.numbers.value_system import ValueSystem


class ComplexArray(ComplexValue):
    """An array of complex numbers of one format, as numpy has them, as far as a Fourier transform needs.

    Make it by `binary32.complex_array([1.5, 2.5j])`, or of two arrays, the real and the imaginary parts.
    Arithmetic is counted part by part, by the operations it is made of; moving data is not.

    >>> from softfloat_py.numbers.formats import binary32
    >>> binary32.complex_array([1.5, 2.5j]) * 2j
    binary32.complex_array([0.0+3.0j, -5.0+0.0j])
    """

    __slots__ = ()

    _real: FloatArray
    _imag: FloatArray

    @classmethod
    def from_values(cls, fmt: ValueSystem, values: Any, imag: Any) -> ComplexArray:
        """A new array of values or, if `imag` is given, of real and imaginary parts, which broadcast.

        Constants are rounded in the current environment, not counted, no flags raised. Raises OperandError
        for what is no number, MixedFormatsError for another format.
        """
        if imag is None:
            values, imag = _part(values, "real"), _part(values, "imag")
        parts = np.broadcast_arrays(*(FloatArray.from_values(fmt, part)._bits for part in (values, imag)))
        return cls._of(*(FloatArray._of(fmt, part.copy()) for part in parts))

    # -- looking ------------------------------------------------------------------------------------

    @property
    def real(self) -> FloatArray:
        """The real parts: what is assigned to its elements is assigned to this array's."""
        return self._real

    @real.setter
    def real(self, value: Any) -> None:
        self._real[...] = value

    @property
    def imag(self) -> FloatArray:
        """The imaginary parts: what is assigned to its elements is assigned to this array's."""
        return self._imag

    @imag.setter
    def imag(self, value: Any) -> None:
        self._imag[...] = value

    @property
    def shape(self) -> tuple[int, ...]:
        """Length of each axis."""
        return self._real.shape

    @property
    def ndim(self) -> int:
        """Number of axes."""
        return self._real.ndim

    @property
    def size(self) -> int:
        """Number of elements."""
        return self._real.size

    def __len__(self) -> int:
        return len(self._real)

    def __iter__(self) -> Iterator[Any]:
        """The elements of an array with one axis, the rows of one with more."""
        return (complex_of(*parts) for parts in zip(self._real, self._imag, strict=True))

    def to_numpy(self) -> NDArray[Any]:
        """The exact values in a new host array of the smallest complex dtype that has them, not counted."""
        real, imag = self._real.to_numpy(), self._imag.to_numpy()
        values = np.empty(self.shape, np.result_type(real.dtype, np.complex64))
        values.real, values.imag = real, imag
        return values

    def item(self, *index: int) -> ComplexNumber:
        """The element at an index, or the only one."""
        return ComplexNumber._of(self._real.item(*index), self._imag.item(*index))

    def tolist(self) -> Any:
        """The array as nested lists of ComplexNumbers."""
        if self.ndim == 0:
            return self.item()
        return list(self) if self.ndim == 1 else [row.tolist() for row in self]

    # -- indexing and shapes, which are not counted -------------------------------------------------

    def _moved(self, move: Callable[[FloatArray], FloatArray]) -> ComplexArray:
        return ComplexArray._of(move(self._real), move(self._imag))

    def __getitem__(self, index: Any) -> Any:
        """A ComplexNumber for one element, otherwise a ComplexArray, a view where numpy gives one."""
        real, imag = self._real[index], self._imag[index]
        return (ComplexArray if isinstance(real, FloatArray) else ComplexNumber)._of(real, imag)

    def __setitem__(self, index: Any, value: Any) -> None:
        """Assign complex or real values of the format, or constants, rounded in the current environment."""
        if isinstance(value, list | tuple):
            value = ComplexArray.from_values(self.format, value, None)
        value = as_data(self.format, value, sys._getframe(1))
        pair = pair_beside(self.format, value, "assignment")
        if pair is NotImplemented:
            raise OperandError(
                f"assignment to a complex array of {self.format.name} needs numbers, not {value!r}"
            )
        self._real[index] = pair.real
        self._imag[index] = 0 if pair.imag is None else pair.imag

    def reshape(self, *shape: Any) -> ComplexArray:
        """The same elements in another shape."""
        return self._moved(lambda part: part.reshape(*shape))

    def ravel(self) -> ComplexArray:
        """The elements along one axis, the last index fastest."""
        return self._moved(lambda part: part.ravel())

    def transpose(self, *axes: Any) -> ComplexArray:
        """The axes reversed, or in the order given."""
        return self._moved(lambda part: part.transpose(*axes))

    @property
    def T(self) -> ComplexArray:  # noqa: N802
        """The axes reversed."""
        return self.transpose()

    def copy(self) -> ComplexArray:
        """The same elements in memory of their own."""
        return self._moved(lambda part: part.copy())

    def __copy__(self) -> ComplexArray:
        return self.copy()

    def __deepcopy__(self, memo: object) -> ComplexArray:
        return self.copy()

    def __reduce__(self) -> tuple[Callable[..., ComplexArray], tuple[FloatArray, FloatArray]]:
        return ComplexArray._of, (self._real, self._imag)

    # -- arithmetic ---------------------------------------------------------------------------------

    def astype(self, target: ValueSystem) -> ComplexArray:
        """The operation convert_format on each part; the parts as they are for the same format."""
        return self._moved(lambda part: part.astype(target))

    def sum(self, axis: Any = None, *, keepdims: bool = False) -> Any:
        """The running sum in index order, from the first element on: two additions for each other one."""
        return complex_of(*(part.sum(axis, keepdims=keepdims) for part in self.pair))

    def _put(self, result: Any) -> Any:
        if result is NotImplemented:
            return NotImplemented
        self[...] = result
        return self

    def __iadd__(self, other: Any) -> Any:
        return self._put(self + other)

    def __isub__(self, other: Any) -> Any:
        return self._put(self - other)

    def __imul__(self, other: Any) -> Any:
        return self._put(self * other)

    def __itruediv__(self, other: Any) -> Any:
        return self._put(self / other)

    def __bool__(self) -> bool:
        """The truth of the only element; OperandError for more, as in numpy."""
        if self.size != 1:
            raise OperandError(f"bool() needs an array of one element, not of {self.size}")
        return bool(self.item())

    # -- as text ------------------------------------------------------------------------------------

    def __str__(self) -> str:
        """The shortest decimals, laid out as numpy does."""
        return self._text(separator=" ")

    def __repr__(self) -> str:
        """An expression with this array as value, if it is short and of finite parts."""
        name = f"{self.format!r}.complex_array("
        body = self._text(separator=", ", prefix=name, max_line_width=110)
        return f"{name}{body})" if self.size else f"{name}np.zeros({self.shape}))"

    def _text(self, **layout: Any) -> str:
        # numpy lays out the elements' places.
        places = np.arange(self.size).reshape(self.shape)
        layout["formatter"] = {"all": lambda place: str(self.item(int(place)))}
        return np.array2string(places, **layout)

    def _repr_html_(self) -> str:
        return f"<p>{escape(self.format.name)}, complex, shape {self.shape}</p><pre>{self}</pre>"


def _part(values: Any, name: str) -> Any:
    """The real parts ("real"), or the imaginary ones ("imag"), of a nested sequence, an array or a number."""
    if isinstance(values, list | tuple):
        return [_part(value, name) for value in values]
    if isinstance(values, ComplexValue | np.ndarray) or is_complex(values):
        return getattr(values, name)
    if name == "real":
        return values
    return np.zeros_like(values) if isinstance(values, FloatArray) else 0
