"""Formats that make values: what users hold as `Format`, `binary32` and so on.

What a format is, without values, is in `softfloat_py/formats.py`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softfloat_py.environment import Flags, Rounding
from softfloat_py.errors import UnknownNameError
from softfloat_py.formats import NAMED_FORMATS, BinaryFormat
from softfloat_py.numbers import constants
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.number_system import NumberSystem
from softfloat_py.suggestions import nearest_names

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from softfloat_py.numbers.array import FloatArray
    from softfloat_py.numbers.complex.complex_array import ComplexArray
    from softfloat_py.numbers.complex.complex_number import ComplexNumber


class Format(BinaryFormat, NumberSystem):
    """A binary format of IEEE 754-2019, clause 3.4, with `exponent_bits` w and `precision` p.

    `precision` counts the leading bit of a significand. It is not stored, as the standard has it, so an
    encoding is 1 + w + (p - 1) bits wide; with `explicit_leading_bit` it is, and an encoding is one bit
    wider. A format without infinity (`has_infinity` False) uses all exponents for numbers and the largest
    encoding, all ones, for its only NaN. Raises FormatError for a width outside 2 to 15 (exponent) or 2
    to 113 (precision; 3 to 113 where the leading bit is explicit).

    >>> Format("tiny", exponent_bits=3, precision=4)(1.49)
    Format('tiny', exponent_bits=3, precision=4)(1.5)
    """

    __slots__ = ()

    def __repr__(self) -> str:
        named = NAMED_FORMATS.get(self.name)
        if named is not None and named.parameters == self.parameters:
            return self.name
        more = ", explicit_leading_bit=True" if self.explicit_leading_bit else ""
        more += "" if self.has_infinity else ", has_infinity=False"
        widths = f"exponent_bits={self.exponent_bits}, precision={self.precision}"
        return f"Format({self.name!r}, {widths}{more})"

    def encode(self, value: Any, rounding: Rounding | None = None) -> tuple[int, Flags]:
        """Encoding of an int, float, Fraction or numpy scalar, correctly rounded, and the flags raised.

        `rounding` defaults to the current environment's direction.
        """
        return constants.encode(self, value, rounding)

    def value_of(self, bits: Any) -> Any:
        """A Number or, for an array with dimensions, a FloatArray with encodings known to be legal."""
        if type(bits) is int:
            return Number._of(self, bits)
        from softfloat_py.engines.arrays.words import int_of
        from softfloat_py.numbers.array import FloatArray

        return FloatArray._of(self, bits) if bits.ndim else Number._of(self, int_of(bits.item()))

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


KNOWN_FORMATS: dict[str, Format] = {
    name: Format(name, *named.parameters) for name, named in NAMED_FORMATS.items()
}
binary16, binary32 = KNOWN_FORMATS["binary16"], KNOWN_FORMATS["binary32"]
binary64, binary128 = KNOWN_FORMATS["binary64"], KNOWN_FORMATS["binary128"]
bfloat16, extended80 = KNOWN_FORMATS["bfloat16"], KNOWN_FORMATS["extended80"]
ofp8_e4m3, ofp8_e5m2 = KNOWN_FORMATS["ofp8_e4m3"], KNOWN_FORMATS["ofp8_e5m2"]

# What else they are called: in C, by numpy, and in the trade (common practice, no source).
_ALSO_CALLED = {
    binary16: ("half", "float16"),
    binary32: ("single", "float", "float32"),
    binary64: ("double", "float64"),
    binary128: ("quadruple",),
}
FORMAT_NAMES: dict[str, Format] = KNOWN_FORMATS | {
    name: fmt for fmt, names in _ALSO_CALLED.items() for name in names
}


def format_named(name: str, what: str = "the format") -> Format:
    """The format of this name, by whatever name it goes and in either case.

    Raises UnknownNameError, which begins with what the name stands for, where there is none.
    """
    plain = name.casefold()
    if plain not in FORMAT_NAMES:
        raise UnknownNameError(what, name, list(FORMAT_NAMES), nearest_names(plain, FORMAT_NAMES, 1))
    return FORMAT_NAMES[plain]
