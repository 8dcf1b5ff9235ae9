"""What a binary format is: widths, limits and special encodings (IEEE 754-2019, clause 3).

An encoding is a non-negative integer of so many bits: sign, biased exponent, trailing significand, from the
most significant bit down. Everything here is exact integer or rational arithmetic. Formats that make values,
which are what users hold, are in `numbers/formats.py`.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any, ClassVar, Self

from softfloat_py.errors import FormatError
from softfloat_py.keeping import HashedOnce, hashed_once

if TYPE_CHECKING:
    from random import Random

EXPONENT_BITS = range(2, 16)
PRECISIONS = range(2, 114)
INTEGER_WIDTHS = range(8, 65)


@dataclass(frozen=True, slots=True)
class BinaryFormat(HashedOnce):
    """A binary format of IEEE 754-2019, clause 3.4, with `exponent_bits` w and `precision` p.

    `precision` counts the leading bit of a significand. It is not stored, as the standard has it, so an
    encoding is 1 + w + (p - 1) bits wide; with `explicit_leading_bit` it is, and an encoding is one bit
    wider. A format without infinity (`has_infinity` False) uses all exponents for numbers and the largest
    encoding, all ones, for its only NaN. Raises FormatError for a width outside 2 to 15 (exponent) or 2
    to 113 (precision; 3 to 113 where the leading bit is explicit).

    >>> BinaryFormat("tiny", exponent_bits=3, precision=4).width
    7
    """

    kind: ClassVar[str] = "binary"

    name: str
    exponent_bits: int
    precision: int
    explicit_leading_bit: bool = False
    has_infinity: bool = True

    __hash__ = hashed_once

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

    @property
    def parameters(self) -> tuple[int, int, bool, bool]:
        """What makes the encodings: formats that differ in nothing but their names have the same."""
        return self.exponent_bits, self.precision, self.explicit_leading_bit, self.has_infinity

    @property
    def is_named(self) -> bool:
        """Whether this is one of the library's own formats, which its name alone says."""
        named = NAMED_FORMATS.get(self.name)
        return named is not None and named.parameters == self.parameters

    @property
    def name_in_full(self) -> str:
        """The name with bits of the exponent, precision, and what else tells formats apart."""
        parts = [str(self.exponent_bits), str(self.precision)]
        parts += ["explicit leading bit"] if self.explicit_leading_bit else []
        parts += [] if self.has_infinity else ["no infinity"]
        return f"{self.name} ({', '.join(parts)})"

    def parameters_to_save(self) -> dict[str, Any]:
        """The fields, by their names."""
        return asdict(self)

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
    def significand_bits(self) -> int:
        """Bits of the significand that are stored: the trailing ones, and the leading one if explicit."""
        return self.trailing_bits + self.explicit_leading_bit

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

    # -- encodings ---------------------------------------------------------------------------------

    @property
    def twin(self) -> Self:
        """The format with the same numbers whose leading bit is not stored; itself if it is not."""
        return replace(self, explicit_leading_bit=False) if self.explicit_leading_bit else self

    @property
    def sign_bit(self) -> int:
        """Encoding of -0, that is the sign bit alone."""
        return 1 << (self.width - 1)

    @property
    def leading_one(self) -> int:
        """The leading bit of a normal number's significand."""
        return 1 << self.trailing_bits

    @property
    def _stored_leading_one(self) -> int:
        """The leading bit as an encoding has it: 0 where it is not stored."""
        return self.leading_one if self.explicit_leading_bit else 0

    @property
    def one(self) -> int:
        """Encoding of 1."""
        return self.bias << self.significand_bits | self._stored_leading_one

    @property
    def infinity(self) -> int:
        """Encoding of +infinity; FormatError for a format that has none."""
        if not self.has_infinity:
            raise FormatError(f"{self.name} must have an infinity to encode it, and has none")
        return self.largest_exponent_field << self.significand_bits | self._stored_leading_one

    @property
    def first_special(self) -> int:
        """The lowest magnitude that is no number: +infinity, or the NaN of a format without infinities."""
        return self.infinity if self.has_infinity else self.sign_bit - 1

    @property
    def special_magnitudes(self) -> tuple[int, int]:
        """The bits of a magnitude, and the lowest one that is no number."""
        return self.sign_bit - 1, self.first_special

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
        end = (
            self.largest_exponent_field << self.significand_bits if self.has_infinity else self.first_special
        )
        return end - 1

    @property
    def smallest_normal(self) -> int:
        """Encoding of the smallest positive normal number."""
        return 1 << self.significand_bits | self._stored_leading_one

    @property
    def smallest_subnormal(self) -> int:
        """Encoding of the smallest positive number."""
        return 1

    # -- decoding ----------------------------------------------------------------------------------

    def typical_encoding(self, random: Random, exponents: int, negative: bool) -> int:
        """A random normal number with an exponent of at the most so much on either side of 0."""
        lowest = max(self.bias - exponents, 1) << self.trailing_bits
        end = min((self.bias + exponents + 1) << self.trailing_bits, self.twin.first_special)
        field, trailing = divmod(random.randrange(lowest, end), self.leading_one)
        magnitude = field << self.significand_bits | self._stored_leading_one | trailing
        return magnitude | (self.sign_bit if negative else 0)

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
        """Whether an encoding is a NaN, quiet or signalling; what makes no sense is one."""
        magnitude = bits & (self.sign_bit - 1)
        return magnitude > self.first_special - (not self.has_infinity) or not self._is_supported(bits)

    def is_finite(self, bits: int) -> bool:
        """Whether an encoding is zero, subnormal or normal."""
        return bits & (self.sign_bit - 1) < self.first_special and self._is_supported(bits)

    def _is_supported(self, bits: int) -> bool:
        """Whether the leading bit is there, or need not be, beside the exponent field.

        Source: Intel 64 and IA-32 Architectures Software Developer's Manual, volume 1, table 8-3
        ("Unsupported Double Extended-Precision Floating-Point Encodings"; from memory).
        """
        if not self.explicit_leading_bit:
            return True
        field, significand = self._fields(bits)
        return field == 0 or significand >= self.leading_one

    def is_canonical(self, bits: int) -> bool:
        """Whether an encoding is the one that operations deliver for its datum (clause 5.7.2: isCanonical).

        All are, except in a format that stores the leading bit those with one that does not fit the exponent.

        >>> BinaryFormat("narrow", 3, 3, explicit_leading_bit=True).is_canonical(0b0_000_100)
        False
        """
        field, significand = self._fields(bits)
        return not self.explicit_leading_bit or (field > 0) == (significand >= self.leading_one)

    def _fields(self, bits: int) -> tuple[int, int]:
        """The exponent field, and the bits of the significand that are stored."""
        return divmod(bits & (self.sign_bit - 1), 1 << self.significand_bits)

    def decode(self, bits: int) -> Fraction:
        """Exact value of a finite encoding (clause 3.4); FormatError for an infinity or a NaN.

        >>> BinaryFormat("half", exponent_bits=5, precision=11).decode(0x3C01)
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

        The exponent field 0 means the exponent 1, beside a stored leading bit too (a *pseudo-denormal*).
        FormatError for an infinity or a NaN, which has nothing of the kind that is `wanted`.
        """
        bits = self.check_encoding(bits)
        if not self.is_finite(bits):
            raise FormatError(f"{bits:#x} of {self.name} is an infinity or a NaN and has no {wanted}")
        field, significand = self._fields(bits)
        if field:
            significand |= self.leading_one
        return significand, max(field, 1) - self.bias - self.trailing_bits


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


# The formats that have a name of their own.
NAMED_FORMATS: dict[str, BinaryFormat] = {
    fmt.name: fmt
    for fmt in (
        BinaryFormat("binary16", 5, 11),
        BinaryFormat("binary32", 8, 24),
        BinaryFormat("binary64", 11, 53),
        BinaryFormat("binary128", 15, 113),
        # Not one of the standard's formats: the upper half of a binary32 (common practice, no source).
        BinaryFormat("bfloat16", 8, 8),
        # The double extended format of x87 units, 80 bits (Intel 64 and IA-32 Architectures Software
        # Developer's Manual, volume 1, section 4.2.2; from memory).
        BinaryFormat("extended80", 15, 64, explicit_leading_bit=True),
        # OCP 8-bit Floating Point Specification (OFP8), revision 1.0, table 1 (from memory).
        BinaryFormat("ofp8_e4m3", 4, 4, has_infinity=False),
        BinaryFormat("ofp8_e5m2", 5, 3),
    )
}
