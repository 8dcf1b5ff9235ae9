"""Arrays of emulated numbers."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any, NoReturn, TypeAlias, overload

import numpy as np
from numpy.typing import ArrayLike, DTypeLike, NDArray

from softfloat_py.engines.arrays.words import as_array, int_of, to_ints
from softfloat_py.errors import OperandError
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers import array_constants
from softfloat_py.numbers.applying import apply_arrays, note_operand
from softfloat_py.numbers.array_methods import ArrayMethods
from softfloat_py.numbers.composed_operators import install_composed_operators, install_in_place
from softfloat_py.numbers.constants import Constant
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.integer_data import kernel_of
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.operands import (
    TO_INT,
    array_operator,
    as_data,
    bits_beside,
    combined,
    format_of,
    install_operators,
    refuse_operators,
)
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation, Result

Operand: TypeAlias = "FloatArray | Number | Constant | NDArray[np.integer[Any]]"
CONVERSION, TRUNCATION = OPERATIONS["convert_format"], OPERATIONS["convert_to_integer_toward_zero"]
Truths: TypeAlias = NDArray[np.bool_]


class FloatArray(ArrayMethods):
    """An array of numbers of one format, as numpy has arrays: shapes, broadcasting, indexing, views.

    Make it by `binary32.array([1.5, 2.5])`, or from encodings, `binary32.array_from_bits(bits)`. Arithmetic
    and comparisons are counted, for each element as one call; moving data (indexing, reshaping, copying) is
    not.

    >>> from softfloat_py.numbers.formats import binary32
    >>> binary32.array([1.5, 2.5]) * 2
    binary32.array([3.0, 5.0])
    """

    __slots__ = ()
    __hash__ = None  # type: ignore[assignment]

    _bits: NDArray[Any]

    @classmethod
    def from_values(cls, fmt: ValueSystem, values: ArrayLike | FloatArray) -> FloatArray:
        """A new array: each value rounded in the current environment, not counted, no flags raised.

        `values` is a host array of floats or integers, a nested sequence of Python numbers and Numbers of the
        format, or an object of another library that gives such an array by `to_numpy()`, as a column of a
        table does. Raises OperandError for anything else, MixedFormatsError for another format.
        """
        return cls._of(fmt, array_constants.encode_values(fmt, values))

    @classmethod
    def from_bits(cls, fmt: ValueSystem, bits: ArrayLike) -> FloatArray:
        """A new array with these encodings: integers of any kind, or what `bits` gives for this format.

        Raises FormatError where one does not fit the format.
        """
        return cls._of(fmt, array_constants.check_encodings(fmt, bits))

    @classmethod
    def _of(cls, fmt: ValueSystem, bits: NDArray[Any]) -> FloatArray:
        """The door without a check; the array shares the memory of `bits`."""
        array = object.__new__(cls)
        array._bits = bits
        array._format = fmt
        return array

    # -- looking ------------------------------------------------------------------------------------

    @property
    def bits(self) -> NDArray[Any]:
        """The encodings: a view that cannot be written to, in the smallest unsigned dtype.

        Encodings of more than 64 bits have a field for each 64-bit word, "word0" (the lowest), "word1" and so
        on: `a.bits["word0"]` is an array of the lowest words. `a[0].bits` is one encoding as an int.
        """
        view = self._bits.view()
        view.flags.writeable = False
        return view

    @property
    def dtype(self) -> Any:
        """The format, which stands here for numpy's dtype."""
        return self._format

    @property
    def shape(self) -> tuple[int, ...]:
        """Length of each axis."""
        return self._bits.shape

    @property
    def ndim(self) -> int:
        """Number of axes."""
        return self._bits.ndim

    @property
    def size(self) -> int:
        """Number of elements."""
        return self._bits.size

    def __len__(self) -> int:
        return len(self._bits)

    def __iter__(self) -> Iterator[Any]:
        """The elements of an array with one axis, the rows of one with more."""
        fmt = self._format
        if self._bits.ndim == 1:
            return (Number._of(fmt, bits) for bits in to_ints(self._bits))
        return (fmt.value_of(row) for row in self._bits)

    def to_numpy(self, dtype: DTypeLike | None = None) -> NDArray[Any]:
        """The exact values in a new host array, not counted.

        In the host's dtype of the format: float16, float32, float64, and longdouble for extended80 where the
        host's is that format; in float32 for bfloat16; otherwise in float64. Another `dtype`, one of
        ml_dtypes too (bfloat16, float8_e4m3fn, float8_e5m2), is taken as long as it has all values of the
        format: nothing is rounded. In a dtype of the same format the encodings stay as they are, otherwise a
        NaN becomes the canonical one. Raises FormatError for a dtype that lacks some of the values.
        """
        return self._format.host_array(self._bits, dtype)

    def item(self, *index: int) -> Number:
        """The element at an index, or the only one, as a Number."""
        return Number._of(self._format, int_of(self._bits.item(*index)))

    def tolist(self) -> Any:
        """The array as nested lists of Numbers (one Number for an array without axes)."""
        if self.ndim == 0:
            return self.item()
        return list(self) if self.ndim == 1 else [row.tolist() for row in self]

    # -- indexing and shapes, which are not counted -------------------------------------------------

    def __getitem__(self, index: Any) -> Any:
        """A Number for one element, otherwise a FloatArray, a view where numpy gives one."""
        bits = self._bits[index]
        if isinstance(bits, np.ndarray):
            return FloatArray._of(self._format, bits)
        return Number._of(self._format, int_of(bits.item()))

    def __setitem__(self, index: Any, value: Any) -> None:
        """Assign Numbers of the format, or constants, which are rounded in the current environment.

        Ints that are data, as numpy's are, are converted, each counted as convert_from_integer.
        """
        value = as_data(self._format, value, sys._getframe(1))
        self._bits[index] = encodings_for(self._format, value, "assignment")

    def fill(self, value: Any) -> None:
        """Assign one value to all elements."""
        self[...] = as_data(self._format, value, sys._getframe(1))

    def reshape(self, *shape: Any) -> FloatArray:
        """The same elements in another shape."""
        return FloatArray._of(self._format, self._bits.reshape(*shape))

    def ravel(self) -> FloatArray:
        """The elements along one axis, the last index fastest."""
        return FloatArray._of(self._format, self._bits.ravel())

    def transpose(self, *axes: Any) -> FloatArray:
        """The axes reversed, or in the order given."""
        return FloatArray._of(self._format, self._bits.transpose(*axes))

    @property
    def T(self) -> FloatArray:  # noqa: N802
        """The axes reversed."""
        return self.transpose()

    def copy(self) -> FloatArray:
        """The same elements in memory of their own."""
        return FloatArray._of(self._format, self._bits.copy())

    def __copy__(self) -> FloatArray:
        return self.copy()

    def __deepcopy__(self, memo: object) -> FloatArray:
        return self.copy()

    def __reduce__(self) -> tuple[Callable[..., FloatArray], tuple[ValueSystem, NDArray[Any]]]:
        return FloatArray._of, (self._format, self._bits)

    # -- arithmetic ---------------------------------------------------------------------------------

    @overload
    def astype(self, target: ValueSystem, copy: bool = True) -> FloatArray: ...
    @overload
    def astype(self, target: Any, copy: bool = True) -> Any: ...
    def astype(self, target: Any, copy: bool = True) -> Any:
        """The elements in another format, or as ints or truths of a host dtype; always a copy.

        Counted for each element: convert_format, unless it is the same format; for a dtype of ints C's
        convert_to_integer_toward_zero, to the width of that dtype; for bool compare_quiet_not_equal with 0.
        A dtype of floats is the run's format in a kernel, and raises OperandError elsewhere.
        """
        if isinstance(target, ValueSystem):
            if target == self._format:
                return self.copy()
            return combined(CONVERSION, self._format, (self._bits,), target)
        kernel = kernel_of(sys._getframe(1))
        match np.dtype(target):
            case np.dtype(kind="i" | "u" as kind, itemsize=size):
                ints = combined(TRUNCATION, self._format, (self._bits,), IntegerFormat(8 * size, kind == "i"))
                return ints if kernel is None else kernel.delivered(ints)
            case np.dtype(kind="b"):
                return self != 0
            case np.dtype(kind="f") if kernel is not None:
                return self.copy()
        raise OperandError(
            f"astype needs a Format or a dtype of ints, not {target!r}; for host floats use to_numpy()"
        )

    def __pos__(self) -> FloatArray:
        return self.copy()

    # -- refusals -----------------------------------------------------------------------------------

    def __array__(self, *arguments: Any, **keywords: Any) -> NoReturn:
        name = self._format.name
        raise OperandError(
            "a host array is not made of emulated numbers silently; write to_numpy() for host floats, and "
            f"numpy.stack(rows) or {name}.array(rows) for an emulated array of several"
        )

    def __bool__(self) -> bool:
        """The truth of the only element; OperandError for more, as in numpy."""
        return bool(self._only("bool"))

    def __float__(self) -> float:
        return float(self._only("float"))

    def __int__(self) -> int:
        return int(self._only("int"))

    def _only(self, function: str) -> Number:
        if self.size != 1:
            raise OperandError(f"{function}() needs an array of one element, not of {self.size}")
        return self.item()

    # -- as text ------------------------------------------------------------------------------------

    def __str__(self) -> str:
        """The shortest decimals, laid out as numpy does."""
        return self._text(str, separator=" ")

    def __repr__(self) -> str:
        """An expression with this array as value, if it is short and has no NaN but the canonical one."""
        name = f"{self._format!r}.array("
        body = self._text(_text_in_repr, separator=", ", prefix=name, max_line_width=110)
        return f"{name}{body})" if self.size else f"{name}np.zeros({self.shape}))"

    def _text(self, element_text: Callable[[Number], str], **layout: Any) -> str:
        # numpy lays out the elements' places, since it would take an encoding of several words apart.
        places = np.arange(self.size).reshape(self.shape)
        layout["formatter"] = {"all": lambda place: element_text(self.item(int(place)))}
        return np.array2string(places, **layout)

    def _repr_html_(self) -> str:
        from html import escape

        return f"<p>{escape(self._format.name)}, shape {self.shape}</p><pre>{self}</pre>"

    if TYPE_CHECKING:  # what install_operators adds

        def __add__(self, other: Operand) -> FloatArray: ...
        def __sub__(self, other: Operand) -> FloatArray: ...
        def __mul__(self, other: Operand) -> FloatArray: ...
        def __truediv__(self, other: Operand) -> FloatArray: ...
        def __floordiv__(self, other: Operand) -> FloatArray: ...
        def __mod__(self, other: Operand) -> FloatArray: ...
        def __divmod__(self, other: Operand) -> tuple[FloatArray, FloatArray]: ...
        def __pow__(self, other: float | NDArray[np.integer[Any]]) -> FloatArray: ...
        def __radd__(self, other: Number | Constant) -> FloatArray: ...
        def __rsub__(self, other: Number | Constant) -> FloatArray: ...
        def __rmul__(self, other: Number | Constant) -> FloatArray: ...
        def __rtruediv__(self, other: Number | Constant) -> FloatArray: ...
        def __rfloordiv__(self, other: Number | Constant) -> FloatArray: ...
        def __rmod__(self, other: Number | Constant) -> FloatArray: ...
        def __rdivmod__(self, other: Number | Constant) -> tuple[FloatArray, FloatArray]: ...
        def __eq__(self, other: Operand) -> Truths: ...  # type: ignore[override]
        def __ne__(self, other: Operand) -> Truths: ...  # type: ignore[override]
        def __lt__(self, other: Operand) -> Truths: ...
        def __le__(self, other: Operand) -> Truths: ...
        def __gt__(self, other: Operand) -> Truths: ...
        def __ge__(self, other: Operand) -> Truths: ...
        def __neg__(self) -> FloatArray: ...
        def __abs__(self) -> FloatArray: ...


def _text_in_repr(number: Number) -> str:
    """An element within the repr of its array: its decimals, or its own repr where no float is as precise."""
    text = repr(number)
    return text if ".from_text(" in text else str(number)


def encodings_for(fmt: ValueSystem, value: Any, purpose: str) -> NDArray[Any]:
    """The encodings of what is put into an array: as beside an operator, sequences of numbers too."""
    if isinstance(value, list | tuple):
        return array_constants.encode_values(fmt, value)
    bits = bits_beside(fmt, value, purpose)
    if bits is NotImplemented:
        raise OperandError(f"{purpose} to an array of {fmt.name} needs numbers, not {value!r}")
    return as_array(bits, fmt.width)


def arrays_for(purpose: str, *values: Any) -> list[Any]:
    """Arrays of one format, each with at least one axis, of what stands in a function."""
    fmt = format_of(values)
    return [FloatArray._of(fmt, np.atleast_1d(encodings_for(fmt, value, purpose))) for value in values]


def _in_place_operator(operation: Operation) -> Callable[..., FloatArray]:
    """The operator that puts its result into the array itself."""

    def operator(self: FloatArray, other: Any) -> FloatArray:
        other = as_data(self._format, other, sys._getframe(1))
        bits = bits_beside(self._format, other, operation.name)
        if bits is NotImplemented:
            return NotImplemented  # type: ignore[no-any-return]
        if not isinstance(other, Emulated):
            note_operand(other)
        self._bits[...] = apply_arrays(operation, self._format, (self._bits, bits))
        return self

    return operator


install_operators(FloatArray, array_operator)
refuse_operators(FloatArray, TO_INT)
for _operation in OPERATIONS.values():
    if _operation.operator and _operation.arity == 2 and _operation.result is Result.NUMBER:
        setattr(FloatArray, f"__i{_operation.operator[2:]}", _in_place_operator(_operation))
install_composed_operators(FloatArray)
install_in_place(FloatArray)
