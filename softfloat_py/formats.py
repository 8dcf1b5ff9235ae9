"""Binary interchange formats: widths, limits and special encodings (IEEE 754-2019, clause 3).

An encoding is a non-negative integer of `Format.width` bits: sign, biased exponent, trailing significand,
from the most significant bit down. Everything here is exact integer or rational arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from softfloat_py.errors import FormatError, UnknownNameError
from softfloat_py.suggestions import nearest_names

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from softfloat_py.environment import Flags, Rounding
    from softfloat_py.numbers.array import FloatArray
    from softfloat_py.numbers.complex.complex_array import ComplexArray
    from softfloat_py.numbers.complex.complex_number import ComplexNumber
    from softfloat_py.numbers.number import Number

EXPONENT_BITS = range(2, 16)
PRECISIONS = range(2, 114)
INTEGER_WIDTHS = range(8, 65)


@dataclass(frozen=True, slots=True)
class Format:
    """A binary format of IEEE 754-2019, clause 3.4, with `exponent_bits` w and `precision` p.

    `precision` counts the leading bit of a significand. It is not stored, as the standard has it, so an
    encoding is 1 + w + (p - 1) bits wide; with `explicit_leading_bit` it is, and an encoding is one bit
    wider. A format without infinity (`has_infinity` False) uses all exponents for numbers and the largest
    encoding, all ones, for its only NaN. Raises FormatError for a width outside 2 to 15 (exponent) or 2
    to 113 (precision; 3 to 113 where the leading bit is explicit).

    >>> Format("tiny", exponent_bits=3, precision=4).width
    7
    """

    name: str
    exponent_bits: int
    precision: int
    explicit_leading_bit: bool = False
    has_infinity: bool = True

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not self.name.strip():
            raise FormatError(f"name must be a non-empty string, not {self.name!r}")
        for parameter, legal in (("exponent_bits", EXPONENT_BITS), ("precision", PRECISIONS)):
            value = getattr(self, parameter)
            if type(value) is not int or value not in legal:
                raise FormatError(
                    f"{parameter} of format {self.name!r} must be a whole number "
                    f"from {legal.start} to {legal.stop - 1}, not {value!r}"
                )
        for parameter in ("explicit_leading_bit", "has_infinity"):
            value = getattr(self, parameter)
            if type(value) is not bool:
                raise FormatError(f"{parameter} of format {self.name!r} must be True or False, not {value!r}")
        if self.explicit_leading_bit and not self.has_infinity:
            raise FormatError(f"format {self.name!r} must have infinities where its leading bit is explicit")
        if self.explicit_leading_bit and self.precision == PRECISIONS.start:
            raise FormatError(
                f"precision of format {self.name!r} must be 3 or more where its leading bit is explicit: "
                "with 2 there is no signalling NaN, which encodings that make no sense are read as"
            )

    def __repr__(self) -> str:
        if KNOWN_FORMATS.get(self.name) == self:
            return self.name
        more = ", explicit_leading_bit=True" if self.explicit_leading_bit else ""
        more += "" if self.has_infinity else ", has_infinity=False"
        widths = f"exponent_bits={self.exponent_bits}, precision={self.precision}"
        return f"Format({self.name!r}, {widths}{more})"

    # -- widths ------------------------------------------------------------------------------------

    @property
    def width(self) -> int:
        """Bits of an encoding (the standard's k)."""
        return self.exponent_bits + self.precision + self.explicit_leading_bit

    @property
    def trailing_bits(self) -> int:
        """Bits of the trailing significand, below the leading bit (the standard's t)."""
        return self.precision - 1

    @property
    def signed_exponent_bits(self) -> int:
        """Bits of a two's complement number that holds any exponent met between two roundings.

        Products and quotients of subnormal numbers reach about twice the exponent range and the
        precision below it.
        """
        return (2 * (self.largest_exponent_field + self.precision)).bit_length() + 1

    # -- exponents ---------------------------------------------------------------------------------

    @property
    def bias(self) -> int:
        """What is added to an exponent before it is stored."""
        return (1 << (self.exponent_bits - 1)) - 1

    @property
    def emax(self) -> int:
        """Largest exponent of a finite number."""
        return self.bias if self.has_infinity else self.bias + 1

    @property
    def emin(self) -> int:
        """Smallest exponent of a normal number."""
        return 1 - self.bias

    @property
    def largest_exponent_field(self) -> int:
        """The exponent field with all bits set, which marks infinities and NaNs where there are
        infinities.
        """
        return (1 << self.exponent_bits) - 1

    @property
    def overflowing_exponent_below(self) -> int:
        """The smallest biased exponent, less one, with which every number is too large."""
        return self.largest_exponent_field - 1 if self.has_infinity else self.largest_exponent_field

    # -- encodings ---------------------------------------------------------------------------------

    @property
    def twin(self) -> Format:
        """The format with the same numbers whose leading bit is not stored; itself if it is not."""
        if not self.explicit_leading_bit:
            return self
        return Format(self.name, self.exponent_bits, self.precision)

    def to_twin(self, bits: int) -> int:
        """An encoding as the twin has it. What the 80-bit format calls unsupported becomes a signalling NaN.

        Source: Intel 64 and IA-32 Architectures Software Developer's Manual, volume 1, table 8-3
        ("Unsupported Double Extended-Precision Floating-Point Encodings"; from memory). A *pseudo-denormal*
        (exponent field 0 with the leading bit set) means the exponent 1.
        """
        if not self.explicit_leading_bit:
            return bits
        sign, magnitude = bits & self.sign_bit, bits & (self.sign_bit - 1)
        field, significand = magnitude >> self.precision, magnitude & ((1 << self.precision) - 1)
        leading, trailing = divmod(significand, self.leading_one)
        if field and not leading:
            return sign >> 1 | self.twin.infinity | 1
        return sign >> 1 | max(field, leading) << self.trailing_bits | trailing

    def from_twin(self, bits: int) -> int:
        """A twin's encoding as this format has it."""
        if not self.explicit_leading_bit:
            return bits
        field, trailing = divmod(bits, self.leading_one)
        leading = self.leading_one if field & self.largest_exponent_field else 0
        return field << self.precision | leading | trailing

    @property
    def sign_bit(self) -> int:
        """Encoding of -0, that is the sign bit alone."""
        return 1 << (self.width - 1)

    @property
    def leading_one(self) -> int:
        """The leading bit of a normal number's significand."""
        return 1 << self.trailing_bits

    @property
    def infinity(self) -> int:
        """Encoding of +infinity; FormatError for a format that has none."""
        if not self.has_infinity:
            raise FormatError(f"{self.name} must have an infinity to encode it, and has none")
        return self.from_twin(self.largest_exponent_field << self.trailing_bits)

    @property
    def first_special(self) -> int:
        """The lowest magnitude that is no number: +infinity, or the NaN of a format without infinities."""
        return self.infinity if self.has_infinity else self.sign_bit - 1

    @property
    def quiet_bit(self) -> int:
        """First bit of the trailing significand: set in a quiet NaN (clause 6.2.1)."""
        return 1 << (self.trailing_bits - 1)

    @property
    def quiet_nan(self) -> int:
        """Encoding of the canonical NaN: positive, quiet, payload zero."""
        return self.first_special | self.quiet_bit

    @property
    def largest_finite(self) -> int:
        """Encoding of the largest finite number."""
        return self.from_twin(self.twin.first_special - 1)

    @property
    def smallest_normal(self) -> int:
        """Encoding of the smallest positive normal number."""
        return self.from_twin(self.leading_one)

    @property
    def smallest_subnormal(self) -> int:
        """Encoding of the smallest positive number."""
        return 1

    # -- decoding ----------------------------------------------------------------------------------

    def check_encoding(self, bits: int) -> int:
        """`bits` as an int, or FormatError where it is not an encoding of this format."""
        try:
            value = int(bits.__index__())
        except AttributeError:
            raise FormatError(f"an encoding of {self.name} must be an integer, not {bits!r}") from None
        if not 0 <= value < 1 << self.width:
            raise FormatError(
                f"an encoding of {self.name} must lie between 0 and {(1 << self.width) - 1:#x} "
                f"({self.width} bits), not {value:#x}"
            )
        return value

    def is_nan(self, bits: int) -> bool:
        """Whether an encoding is a NaN, quiet or signalling."""
        twin, bits = self.twin, self.to_twin(bits)
        return bits & ~twin.sign_bit > twin.first_special - (not twin.has_infinity)

    def is_finite(self, bits: int) -> bool:
        """Whether an encoding is zero, subnormal or normal."""
        twin, bits = self.twin, self.to_twin(bits)
        return bits & ~twin.sign_bit < twin.first_special

    def is_canonical(self, bits: int) -> bool:
        """Whether an encoding is the one that operations deliver for its datum (clause 5.7.2: isCanonical).

        All are, except in a format that stores the leading bit those with one that does not fit the exponent.

        >>> extended80.is_canonical(0x0000_8000000000000000)
        False
        """
        return self.from_twin(self.to_twin(bits)) == bits

    def decode(self, bits: int) -> Fraction:
        """Exact value of a finite encoding (clause 3.4); FormatError for an infinity or a NaN.

        >>> binary16.decode(0x3C01)
        Fraction(1025, 1024)
        """
        significand, exponent = self.significand_and_exponent(bits, "rational value")
        magnitude = significand * Fraction(2) ** exponent
        return -magnitude if bits & self.sign_bit else magnitude

    def spacing(self, bits: int) -> Fraction:
        """Distance from a finite encoding's magnitude to the next larger one, as the format has it."""
        _, exponent = self.significand_and_exponent(bits, "spacing")
        return Fraction(2) ** exponent

    def significand_and_exponent(self, bits: int, wanted: str = "significand") -> tuple[int, int]:
        """Significand of a finite encoding as a whole number, and the exponent of its last bit.

        FormatError for an infinity or a NaN, which has nothing of the kind that is `wanted`.
        """
        bits = self.check_encoding(bits)
        if not self.is_finite(bits):
            raise FormatError(f"{bits:#x} of {self.name} is an infinity or a NaN and has no {wanted}")
        field, trailing = divmod(self.to_twin(bits) & (self.twin.sign_bit - 1), self.leading_one)
        significand = trailing | (self.leading_one if field else 0)
        return significand, max(field, 1) - self.bias - self.trailing_bits

    def encode(self, value: Any, rounding: Rounding | None = None) -> tuple[int, Flags]:
        """Encoding of an int, float, Fraction or numpy scalar, correctly rounded, and the flags raised.

        `rounding` defaults to the current environment's direction.
        """
        from softfloat_py.numbers.constants import encode

        return encode(self, value, rounding)

    # -- values ------------------------------------------------------------------------------------

    def __call__(self, value: Any) -> Number:
        """A number of this format: `value` correctly rounded in the current environment, not counted."""
        from softfloat_py.numbers.number import Number

        return Number.from_value(self, value)

    def from_bits(self, bits: int) -> Number:
        """The number with this encoding; FormatError where it does not fit the format."""
        from softfloat_py.numbers.number import Number

        return Number.from_bits(self, bits)

    def from_text(self, text: str) -> Number:
        """The number that a text says, however long, correctly rounded in the current environment.

        A constant of the program: not counted, and no flags are raised (for those use
        convert_from_decimal_character). In decimal or hexadecimal (0x1.8p-3), inf, or nan with a payload as
        in nan(0x12). Raises TextError, which points at the character, for any other text.

        >>> binary16.from_text("0.1")
        binary16(0.1)
        """
        from softfloat_py.numbers.number import Number

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


@dataclass(frozen=True, slots=True)
class IntegerFormat:
    """An integer of `width` bits, 8 to 64: two's complement if `signed`. FormatError for another width.

    >>> IntegerFormat(16).highest
    32767
    """

    width: int
    signed: bool = True

    def __post_init__(self) -> None:
        if type(self.width) is not int or self.width not in INTEGER_WIDTHS:
            legal = f"{INTEGER_WIDTHS.start} to {INTEGER_WIDTHS.stop - 1}"
            raise FormatError(f"width of an integer must be a whole number from {legal}, not {self.width!r}")
        if type(self.signed) is not bool:
            raise FormatError(f"signed of an integer must be True or False, not {self.signed!r}")

    @property
    def name(self) -> str:
        """As programs write the type, for example int32 or uint8."""
        return f"{'int' if self.signed else 'uint'}{self.width}"

    @property
    def lowest(self) -> int:
        """The smallest of these integers."""
        return -(1 << (self.width - 1)) if self.signed else 0

    @property
    def highest(self) -> int:
        """The largest of these integers."""
        return (1 << (self.width - self.signed)) - 1


KNOWN_FORMATS: dict[str, Format] = {}


def _known(name: str, exponent_bits: int, precision: int, **properties: bool) -> Format:
    KNOWN_FORMATS[name] = Format(name, exponent_bits, precision, **properties)
    return KNOWN_FORMATS[name]


binary16 = _known("binary16", 5, 11)
binary32 = _known("binary32", 8, 24)
binary64 = _known("binary64", 11, 53)
binary128 = _known("binary128", 15, 113)
# bfloat16 is not one of the standard's formats: the upper half of a binary32 (common practice, no source).
bfloat16 = _known("bfloat16", 8, 8)
# The double extended format of x87 units, 80 bits (Intel 64 and IA-32 Architectures Software Developer's
# Manual, volume 1, section 4.2.2; from memory).
extended80 = _known("extended80", 15, 64, explicit_leading_bit=True)
# OCP 8-bit Floating Point Specification (OFP8), revision 1.0, table 1 (from memory).
ofp8_e4m3 = _known("ofp8_e4m3", 4, 4, has_infinity=False)
ofp8_e5m2 = _known("ofp8_e5m2", 5, 3)

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
