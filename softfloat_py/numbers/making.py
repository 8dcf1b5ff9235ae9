"""How a number system makes values: numbers, arrays, complex ones; the same for all systems."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softfloat_py.numbers.number import Number
from softfloat_py.numbers.value_system import ValueSystem

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from softfloat_py.numbers.array import FloatArray
    from softfloat_py.numbers.complex.complex_array import ComplexArray
    from softfloat_py.numbers.complex.complex_number import ComplexNumber


class MakesValues(ValueSystem):
    """What users write to get values of a system. numpy is imported when the first array is made."""

    __slots__ = ()

    def value_of(self, bits: Any) -> Any:
        """A Number or, for an array with dimensions, a FloatArray with encodings known to be legal."""
        if type(bits) is int:
            return Number._of(self, bits)
        from softfloat_py.engines.arrays.words import int_of
        from softfloat_py.numbers.array import FloatArray

        return FloatArray._of(self, bits) if bits.ndim else Number._of(self, int_of(bits.item()))

    def complex_value_of(self, real: Any, imag: Any) -> Any:
        """The complex number or, of arrays of one shape, the complex array with these parts."""
        from softfloat_py.numbers.complex.complex_array import ComplexArray
        from softfloat_py.numbers.complex.complex_number import ComplexNumber

        kind = ComplexNumber if isinstance(real, Number) else ComplexArray
        return kind._of(real, imag)

    def encode_host_array(self, values: NDArray[Any]) -> NDArray[Any]:
        """Encodings of a host array of numbers, one by one."""
        from softfloat_py.numbers.array_constants import encode_each

        return encode_each(self, values)

    # -- values ------------------------------------------------------------------------------------

    def __call__(self, value: Any) -> Number:
        """A number of this format: `value` correctly rounded in the current environment, not counted."""
        return Number.from_value(self, value)

    def from_bits(self, bits: int) -> Number:
        """The number with this encoding; FormatError where it does not fit the format."""
        return Number.from_bits(self, bits)

    def from_text(self, text: str) -> Number:
        """The number that a text says, however long, correctly rounded in the current environment.

        A constant of the program: not counted, and no flags are raised (for those use
        convert_from_decimal_character). In decimal or hexadecimal (0x1.8p-3), inf, or nan with a payload as
        in nan(0x12). Raises TextError, which points at the character, for any other text.

        >>> from softfloat_py import binary16
        >>> binary16.from_text("0.1")
        binary16(0.1)
        """
        return Number.from_text(self, text)

    def array(self, values: ArrayLike) -> FloatArray:
        """An array of this format: each value correctly rounded in the current environment, not counted."""
        from softfloat_py.numbers.array import FloatArray

        return FloatArray.from_values(self, values)

    def array_from_bits(self, bits: ArrayLike | NDArray[Any]) -> FloatArray:
        """The array with these encodings (integers of any dtype that fit the format)."""
        from softfloat_py.numbers.array import FloatArray

        return FloatArray.from_bits(self, bits)

    def complex_number(self, value: Any, imag: Any = None) -> ComplexNumber:
        """A complex number: a constant, rounded and not counted, or of two real parts, constants or Numbers.

        >>> from softfloat_py import binary16
        >>> binary16.complex_number(1.5 - 0.25j)
        binary16.complex_number(1.5, -0.25)
        """
        from softfloat_py.numbers.complex.complex_number import ComplexNumber

        return ComplexNumber.from_values(self, value, imag)

    def complex_array(self, values: Any, imag: Any = None) -> ComplexArray:
        """An array of complex numbers: of values, or of real and imaginary parts; constants or emulated."""
        from softfloat_py.numbers.complex.complex_array import ComplexArray

        return ComplexArray.from_values(self, values, imag)

    # -- arrays of constants -------------------------------------------------------------------------

    def full(self, shape: int | tuple[int, ...], value: Any) -> FloatArray:
        """An array with one value everywhere: a constant, rounded once and not counted, or a Number."""
        from softfloat_py.numbers import makers

        return makers.full(self, shape, value)

    def zeros(self, shape: int | tuple[int, ...]) -> FloatArray:
        """An array of +0."""
        return self.full(shape, 0)

    def ones(self, shape: int | tuple[int, ...]) -> FloatArray:
        """An array of ones."""
        return self.full(shape, 1)

    def empty(self, shape: int | tuple[int, ...]) -> FloatArray:
        """An array to be written to; it holds +0, so that no run depends on what memory had."""
        return self.full(shape, 0)

    def eye(self, n: int, m: int | None = None, k: int = 0) -> FloatArray:
        """n rows and m columns (n if not given), ones on the k-th diagonal, +0 elsewhere."""
        from softfloat_py.numbers import makers

        return makers.eye(self, n, m, k)

    def identity(self, n: int) -> FloatArray:
        """The identity matrix of n rows."""
        return self.eye(n)

    def arange(self, start: Any, stop: Any = None, step: Any = 1) -> FloatArray:
        """start, start + step … below stop, or 0, 1 … below the only argument, as numpy.arange has them.

        Constants of the program: each value exact, then rounded once in the current environment, not counted.
        Raises OperandError for an emulated value, from which the program would compute at run time.

        >>> from softfloat_py import binary16
        >>> binary16.arange(0, 0.5, 0.1)
        binary16.array([0.0, 0.1, 0.2, 0.3, 0.4])
        """
        from softfloat_py.numbers import makers

        return makers.arange(self, start, stop, step)

    def linspace(self, start: Any, stop: Any, num: int = 50, endpoint: bool = True) -> FloatArray:
        """`num` values at equal distances from start to stop, without stop itself if not `endpoint`.

        Constants, as those of `arange`, with the same refusals.
        """
        from softfloat_py.numbers import makers

        return makers.linspace(self, start, stop, num, endpoint)
