"""Formats that make values: what users hold as `Format`, `binary32` and so on.

What a format is, without values, is in `softfloat_py/formats.py`.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from softfloat_py.environment import Flags, Rounding
from softfloat_py.errors import UnknownNameError
from softfloat_py.formats import NAMED_FORMATS, BinaryFormat
from softfloat_py.numbers import encoding
from softfloat_py.numbers.leading_bit import to_twin
from softfloat_py.numbers.making import MakesValues
from softfloat_py.options import Options
from softfloat_py.suggestions import nearest_names

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softfloat_py.numbers.text.text_parsing import Notation
    from softfloat_py.numbers.text.text_specification import Specification


class Format(BinaryFormat, MakesValues):
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
        if self.is_named:
            return self.name
        more = ", explicit_leading_bit=True" if self.explicit_leading_bit else ""
        more += "" if self.has_infinity else ", has_infinity=False"
        widths = f"exponent_bits={self.exponent_bits}, precision={self.precision}"
        return f"Format({self.name!r}, {widths}{more})"

    # -- what encodings mean ---------------------------------------------------------------------------

    def rank(self, bits: int) -> int:
        """A whole number that orders encodings as their values are; neighbours are one apart, zeros equal."""
        twin, encoding = self.twin, to_twin(self, bits)
        magnitude = encoding & (twin.sign_bit - 1)
        return -magnitude if encoding & twin.sign_bit else magnitude

    def infinity_of_sign(self, negative: bool) -> int:
        """Encoding of an infinity; of the NaN, which equals nothing, in a format without infinities."""
        return self.first_special | (self.sign_bit if negative else 0)

    def extremes(self) -> tuple[int, int]:
        """Encodings of the lowest and of the highest number."""
        return self.largest_finite | self.sign_bit, self.largest_finite

    def fields(self, bits: int) -> list[tuple[str, str]]:
        """Sign, biased exponent and trailing significand in binary digits."""
        digits, end = f"{bits:0{self.width}b}", 1 + self.exponent_bits
        names = "sign", "biased exponent", "trailing significand"
        return list(zip(names, (digits[0], digits[1:end], digits[end:]), strict=True))

    # -- constants of the program ------------------------------------------------------------------------

    def encode(
        self, value: Any, rounding: Rounding | None = None, *, options: Options | None = None
    ) -> tuple[int, Flags]:
        """Encoding of an int, float, Fraction or numpy scalar, correctly rounded, and the flags raised.

        `rounding` and `options`, of which only `saturate` matters, default to those of the environment.
        """
        return encoding.encode(self, value, rounding, options=options)

    def encode_host_array(self, values: NDArray[Any]) -> NDArray[Any]:
        """Encodings of a host array of floats or integers; of the same ml_dtypes format, its own bits."""
        from softfloat_py.numbers.array_encoding import encodings_by_arrays

        encodings = encodings_by_arrays(self, values)
        return super().encode_host_array(values) if encodings is None else encodings

    def encode_text(self, text: str, notation: Notation | None = None) -> tuple[int, Flags]:
        """The encoding that a text says, in decimal or hexadecimal unless stated, and the flags raised."""
        from softfloat_py.numbers.text.text_encoding import encode_text

        return encode_text(self, text, notation)

    # -- outside the emulation ---------------------------------------------------------------------------

    def host_float(self, bits: int) -> float:
        """The nearest host double, beyond the largest one as well; a zero, infinity or NaN with its sign."""
        if self.is_finite(bits):
            magnitude = _nearest_double(abs(self.decode(bits)))
        else:
            magnitude = math.nan if self.is_nan(bits) else math.inf
        return math.copysign(magnitude, -1 if bits & self.sign_bit else 1)

    def host_array(self, bits: NDArray[Any], dtype: Any) -> NDArray[Any]:
        """The exact values in a new host array; see `FloatArray.to_numpy`."""
        from softfloat_py.numbers.array_encoding import exact_host_array

        return exact_host_array(self, bits, dtype)

    # -- texts -------------------------------------------------------------------------------------------

    def text(self, bits: int, specification: str = "") -> str:
        """The number by Python's specification: without one, the shortest decimals that give it back."""
        from softfloat_py.numbers.text import text_specification

        return text_specification.specification(specification).text(self, bits)

    def converted_text(
        self, bits: int, specification: Specification, rounding: Rounding
    ) -> tuple[str, Flags]:
        """The number by a specification, rounded in a direction, and the flags raised."""
        from softfloat_py.numbers.text.number_text import converted_text

        return converted_text(self, bits, specification, rounding)

    def expression(self, bits: int) -> str:
        """What stands behind the format in an expression of the number, such as (1.5)."""
        from softfloat_py.numbers.text.number_text import repr_text

        return repr_text(self, bits)

    def exact_text(self, bits: int) -> str:
        """All digits of the value."""
        from softfloat_py.numbers.text.number_text import exact_text

        return exact_text(self, bits)

    def hexadecimal_text(self, bits: int) -> str:
        """The hexadecimal significand and the binary exponent."""
        from softfloat_py.numbers.text.number_text import hexadecimal_text

        return hexadecimal_text(self, bits)


def _nearest_double(magnitude: Fraction) -> float:
    """Correctly rounded, beyond the largest double as well."""
    try:
        return float(magnitude)
    except OverflowError:
        return math.inf


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
