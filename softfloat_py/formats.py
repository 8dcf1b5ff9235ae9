"""Binary interchange formats: widths, limits and special encodings (IEEE 754-2019, clause 3).

An encoding is a non-negative integer of `Format.width` bits: sign, biased exponent, trailing significand,
from the most significant bit down. Everything here is exact integer or rational arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from softfloat_py.errors import FormatError

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from softfloat_py.environment import Flags, Rounding
    from softfloat_py.numbers.array import FloatArray
    from softfloat_py.numbers.number import Number

EXPONENT_BITS = range(2, 16)
PRECISIONS = range(2, 65)


@dataclass(frozen=True, slots=True)
class Format:
    """A binary format of IEEE 754-2019, clause 3.4, with `exponent_bits` w and `precision` p.

    `precision` counts the leading bit that is not stored, as the standard does; the encoding is
    1 + w + (p - 1) bits wide. Raises FormatError for a width outside 2 to 15 (exponent) or 2 to 64
    (precision).

    >>> Format("tiny", exponent_bits=3, precision=4).width
    7
    """

    name: str
    exponent_bits: int
    precision: int

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

    def __repr__(self) -> str:
        if KNOWN_FORMATS.get(self.name) == self:
            return self.name
        return f"Format({self.name!r}, exponent_bits={self.exponent_bits}, precision={self.precision})"

    # -- widths ------------------------------------------------------------------------------------

    @property
    def width(self) -> int:
        """Bits of an encoding (the standard's k)."""
        return self.exponent_bits + self.precision

    @property
    def trailing_bits(self) -> int:
        """Bits of the stored, trailing significand (the standard's t)."""
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
        """What is added to an exponent before it is stored; equals `emax`."""
        return (1 << (self.exponent_bits - 1)) - 1

    @property
    def emax(self) -> int:
        """Largest exponent of a finite number."""
        return self.bias

    @property
    def emin(self) -> int:
        """Smallest exponent of a normal number."""
        return 1 - self.bias

    @property
    def largest_exponent_field(self) -> int:
        """The exponent field with all bits set, which marks infinities and NaNs."""
        return (1 << self.exponent_bits) - 1

    # -- encodings ---------------------------------------------------------------------------------

    @property
    def sign_bit(self) -> int:
        """Encoding of -0, that is the sign bit alone."""
        return 1 << (self.width - 1)

    @property
    def leading_one(self) -> int:
        """The bit that a normal number's significand has and its encoding does not store."""
        return 1 << self.trailing_bits

    @property
    def infinity(self) -> int:
        """Encoding of +infinity."""
        return self.largest_exponent_field << self.trailing_bits

    @property
    def quiet_bit(self) -> int:
        """First bit of the trailing significand: set in a quiet NaN (clause 6.2.1)."""
        return 1 << (self.trailing_bits - 1)

    @property
    def quiet_nan(self) -> int:
        """Encoding of the canonical NaN that operations deliver: positive, quiet, payload zero."""
        return self.infinity | self.quiet_bit

    @property
    def largest_finite(self) -> int:
        """Encoding of the largest finite number."""
        return self.infinity - 1

    @property
    def smallest_normal(self) -> int:
        """Encoding of the smallest positive normal number."""
        return self.leading_one

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
        return bits & ~self.sign_bit > self.infinity

    def is_finite(self, bits: int) -> bool:
        """Whether an encoding is zero, subnormal or normal."""
        return bits & ~self.sign_bit < self.infinity

    def decode(self, bits: int) -> Fraction:
        """Exact value of a finite encoding (clause 3.4); FormatError for an infinity or a NaN.

        >>> binary16.decode(0x3C01)
        Fraction(1025, 1024)
        """
        bits = self.check_encoding(bits)
        if not self.is_finite(bits):
            raise FormatError(f"{bits:#x} of {self.name} is an infinity or a NaN and has no rational value")
        field = (bits >> self.trailing_bits) & self.largest_exponent_field
        significand = bits & (self.leading_one - 1)
        if field:
            significand |= self.leading_one
        magnitude = significand * Fraction(2) ** (max(field, 1) - self.bias - self.trailing_bits)
        return -magnitude if bits & self.sign_bit else magnitude

    def spacing(self, bits: int) -> Fraction:
        """Distance from a finite encoding's magnitude to the next larger one, as the format has it."""
        bits = self.check_encoding(bits)
        if not self.is_finite(bits):
            raise FormatError(f"{bits:#x} of {self.name} is an infinity or a NaN and has no spacing")
        field = (bits >> self.trailing_bits) & self.largest_exponent_field
        return Fraction(2) ** (max(field, 1) - self.bias - self.trailing_bits)

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

    def array(self, values: ArrayLike) -> FloatArray:
        """An array of this format: each value correctly rounded in the current environment, not counted."""
        from softfloat_py.numbers.array import FloatArray

        return FloatArray.from_values(self, values)

    def array_from_bits(self, bits: ArrayLike | NDArray[Any]) -> FloatArray:
        """The array with these encodings (integers of any dtype that fit the format)."""
        from softfloat_py.numbers.array import FloatArray

        return FloatArray.from_bits(self, bits)


KNOWN_FORMATS: dict[str, Format] = {}


def _known(name: str, exponent_bits: int, precision: int) -> Format:
    KNOWN_FORMATS[name] = Format(name, exponent_bits, precision)
    return KNOWN_FORMATS[name]


binary16 = _known("binary16", 5, 11)
binary32 = _known("binary32", 8, 24)
binary64 = _known("binary64", 11, 53)
# bfloat16 is not one of the standard's formats: the upper half of a binary32 (common practice, no source).
bfloat16 = _known("bfloat16", 8, 8)
