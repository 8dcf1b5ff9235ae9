"""Formats: the parameters of the standard's tables, limits and special encodings, and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import inf, nan, ulp
from typing import Any

import ml_dtypes
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softfloat_py.environment import Flags, Rounding
from softfloat_py.errors import FormatError, OperandError, UnknownNameError
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import (
    KNOWN_FORMATS,
    Format,
    bfloat16,
    binary16,
    binary32,
    binary64,
    binary128,
    extended80,
    format_named,
    ofp8_e4m3,
    ofp8_e5m2,
)
from softfloat_py.routines.exponent_range import signed_exponent_bits
from tests import strategies
from tests.references.leading_bit import from_twin, to_twin

TINY = Format("e3p4", exponent_bits=3, precision=4)

# IEEE 754-2019, table 3.5 (from memory): k, p, emax, bias, w, t; the tiny one's row follows from clause 3.4.
PARAMETERS = [
    (binary16, (16, 11, 15, 15, 5, 10)),
    (binary32, (32, 24, 127, 127, 8, 23)),
    (binary64, (64, 53, 1023, 1023, 11, 52)),
    (binary128, (128, 113, 16383, 16383, 15, 112)),
    (TINY, (7, 4, 3, 3, 3, 3)),
]


@pytest.mark.parametrize(("fmt", "parameters"), PARAMETERS, ids=lambda value: getattr(value, "name", ""))
def test_parameters_are_those_of_the_standard(fmt: Format, parameters: tuple[int, ...]) -> None:
    """Width, precision, exponent range, bias and fields follow table 3.5; emin is 1 - emax (clause 3.3)."""
    assert parameters == (
        fmt.width, fmt.precision, fmt.emax, fmt.bias, fmt.exponent_bits, fmt.trailing_bits,
    )  # fmt: skip
    assert 1 - fmt.emax == fmt.emin


def test_bfloat16_is_the_upper_half_of_binary32() -> None:
    """bfloat16 has binary32's sign and exponent and what is left of 16 bits."""
    assert (16, binary32.exponent_bits, 8) == (bfloat16.width, bfloat16.exponent_bits, bfloat16.precision)


def test_known_formats_are_found_by_name() -> None:
    """The formats with a name of their own are listed under it."""
    named = [binary16, bfloat16, binary32, binary64, binary128, extended80, ofp8_e4m3, ofp8_e5m2]

    assert {fmt.name: fmt for fmt in named} == KNOWN_FORMATS


# OCP 8-bit Floating Point Specification (OFP8), revision 1.0, table 2 (from memory): width, bias, the largest
# number, the smallest normal and subnormal ones.
OFP8 = [
    (ofp8_e4m3, (8, 7, 0x7E, Fraction(448), Fraction(1, 2**6), Fraction(1, 2**9))),
    (ofp8_e5m2, (8, 15, 0x7B, Fraction(57344), Fraction(1, 2**14), Fraction(1, 2**16))),
]


@pytest.mark.parametrize(("fmt", "limits"), OFP8, ids=lambda value: getattr(value, "name", ""))
def test_limits_of_the_8_bit_formats_are_those_of_their_specification(
    fmt: Format, limits: tuple[Any, ...]
) -> None:
    """Bias, largest and smallest numbers are those of the OFP8 specification."""
    numbers = [fmt.decode(bits) for bits in (fmt.largest_finite, fmt.smallest_normal, fmt.smallest_subnormal)]

    assert limits == (fmt.width, fmt.bias, fmt.largest_finite, *numbers)


@pytest.mark.parametrize(
    ("fmt", "dtype"), [(ofp8_e4m3, "float8_e4m3fn"), (ofp8_e5m2, "float8_e5m2")], ids=lambda value: str(value)
)
def test_8_bit_encodings_mean_what_ml_dtypes_says(fmt: Format, dtype: str) -> None:
    """All 256 encodings are the numbers, infinities and NaNs that ml_dtypes reads in them."""
    values = np.arange(256, dtype=np.uint8).view(getattr(ml_dtypes, dtype)).astype(np.float64)
    for bits, value in enumerate(values.tolist()):
        assert (value != value, abs(value) < inf) == (fmt.is_nan(bits), fmt.is_finite(bits))
        if fmt.is_finite(bits):
            assert Fraction(value) == fmt.decode(bits)


# Intel 64 and IA-32 Architectures Software Developer's Manual, volume 1, tables 4-2 and 8-3 (from memory):
# encoding of the 80-bit format, and its value; None for what is no number.
EXTENDED = [
    (0x3FFF8000000000000000, Fraction(1)),
    (0xC000C000000000000000, Fraction(-3)),
    (0x00000000000000000001, Fraction(1, 2**16445)),
    (0x00008000000000000000, Fraction(1, 2**16382)),  # a pseudo-denormal
    (0x00018000000000000000, Fraction(1, 2**16382)),
    (0x7FFEFFFFFFFFFFFFFFFF, Fraction(2**16384 - 2**16320)),
    (0x7FFF8000000000000000, None),  # infinity
    (0x7FFF0000000000000000, None),  # a pseudo-infinity
    (0x3FFF4000000000000000, None),  # an unnormal
]


@pytest.mark.parametrize(("bits", "value"), EXTENDED)
def test_extended_encodings_mean_what_the_manual_says(bits: int, value: Fraction | None) -> None:
    """The leading bit is stored: it makes numbers, pseudo-denormals, and encodings that are none."""
    assert (value is not None) == extended80.is_finite(bits)
    if value is not None:
        assert value == extended80.decode(bits)


def test_extended_encodings_are_those_of_the_host() -> None:
    """Where the host has the 80-bit format, its numbers have the same encodings."""
    if np.finfo(np.longdouble).nmant != 63:
        pytest.skip("numpy's longdouble is not the 80-bit format here")
    for value in (1.0, -0.375, 5e-324, 1e300, -0.0):
        bits = int.from_bytes(np.longdouble(value).tobytes()[:10], "little")
        assert hex(bits) == hex(extended80(value).bits)


@given(bits=strategies.encodings(extended80.twin))
def test_encodings_survive_the_way_through_the_stored_bit(bits: int) -> None:
    """Storing the leading bit and leaving it out again gives the same encoding."""
    assert bits == to_twin(extended80, from_twin(extended80, bits))


@pytest.mark.parametrize(
    ("integer", "name", "lowest", "highest"),
    [(IntegerFormat(8), "int8", -128, 127), (IntegerFormat(16, signed=False), "uint16", 0, 65535)],
)
def test_integer_formats_have_their_limits(
    integer: IntegerFormat, name: str, lowest: int, highest: int
) -> None:
    """Two's complement and unsigned integers reach from their lowest to their highest value."""
    assert (name, lowest, highest) == (integer.name, integer.lowest, integer.highest)


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
def test_limits_are_those_of_the_host(fmt: Format) -> None:
    """Largest, smallest normal and smallest number are numpy's, for formats that numpy has."""
    host = np.finfo(f"f{fmt.width // 8}")

    assert Fraction(float(host.max)) == fmt.decode(fmt.largest_finite)
    assert Fraction(float(host.smallest_normal)) == fmt.decode(fmt.smallest_normal)
    assert Fraction(float(host.smallest_subnormal)) == fmt.decode(fmt.smallest_subnormal)


def test_special_encodings_are_where_the_standard_puts_them() -> None:
    """Infinity, quiet NaN, sign and leading one of binary32 in hexadecimal, as clause 3.4 lays them out."""
    assert (0x7F800000, 0x7FC00000, 0x80000000, 0x00800000, 0x00400000) == (
        binary32.infinity, binary32.quiet_nan, binary32.sign_bit, binary32.leading_one, binary32.quiet_bit,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("bits", "is_nan", "is_finite"),
    [
        (0x7F7FFFFF, False, True),
        (0x7F800000, False, False),
        (0xFF800000, False, False),
        (0x7F800001, True, False),
        (0xFFC00000, True, False),
        (0x80000000, False, True),
    ],
)
def test_classes_are_told_apart(bits: int, is_nan: bool, is_finite: bool) -> None:
    """NaNs lie above infinity, finite numbers below, whatever the sign."""
    assert (is_nan, is_finite) == (binary32.is_nan(bits), binary32.is_finite(bits))


@given(bits=strategies.finite_encodings(binary64))
def test_decoding_is_exact(bits: int) -> None:
    """A finite binary64 encoding means what the host says it means, and has the host's spacing."""
    value = float(np.uint64(bits).view(np.float64))

    assert Fraction(value) == binary64.decode(bits)
    assert Fraction(ulp(value)) == binary64.spacing(bits)


@given(bits=strategies.finite_encodings(binary16), rounding=strategies.roundings())
def test_exact_values_are_encoded_exactly(bits: int, rounding: Rounding) -> None:
    """A number that the format has is encoded as itself in every direction and raises nothing."""
    value = binary16.decode(bits)
    expected = 0 if value == 0 else bits

    assert (expected, Flags.NONE) == binary16.encode(value, rounding)


@given(value=st.fractions() | st.integers(-(10**40), 10**40), rounding=strategies.roundings())
def test_encoding_lies_next_to_the_value(value: Fraction | int, rounding: Rounding) -> None:
    """An encoding is exact or not as its flags say, and less than a spacing away unless it overflows."""
    bits, flags = TINY.encode(value, rounding)
    if flags.overflow:
        assert TINY.decode(TINY.largest_finite) < abs(Fraction(value))
        return
    distance = abs(TINY.decode(bits) - value)

    assert flags.inexact == (distance != 0)
    assert distance < TINY.spacing(bits)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (inf, 0x7F800000), (-inf, 0xFF800000), (nan, 0x7FC00000), (0.0, 0), (-0.0, 0x80000000),
        (1, 0x3F800000), (np.int8(-1), 0xBF800000), (np.float16(0.5), 0x3F000000),
        (Fraction(1, 3), 0x3EAAAAAB), (0.1, 0x3DCCCCCD),
        (10**400, 0x7F800000), (Fraction(-1, 10**400), 0x80000000),
    ],
)  # fmt: skip
def test_any_real_number_is_encoded(value: Any, expected: int) -> None:
    """Whole numbers, floats, fractions and numpy scalars become the nearest binary32 number."""
    assert expected == binary32.encode(value, Rounding.TIES_TO_EVEN)[0]


@pytest.mark.parametrize("value", [True, "1.5", None, 1j, [1.0]])
def test_what_is_no_real_number_is_not_encoded(value: Any) -> None:
    """Truths, text and lists are no constants."""
    with pytest.raises(OperandError):
        binary32.encode(value)


# What is tried, and all that is said about it.
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "no name": (lambda: Format(" ", 8, 24), "name must be a non-empty string, not ' '"),
    "name of another kind": (lambda: Format(16, 8, 24), "name must be a non-empty string, not 16"),  # type: ignore[arg-type]
    "exponent too narrow": (
        lambda: Format("swell", 1, 24),
        "exponent_bits of format 'swell' must be a whole number from 2 to 15, not 1",
    ),
    "exponent too wide": (
        lambda: Format("swell", 16, 24),
        "exponent_bits of format 'swell' must be a whole number from 2 to 15, not 16",
    ),
    "precision too small": (
        lambda: Format("swell", 8, 1),
        "precision of format 'swell' must be a whole number from 2 to 113, not 1",
    ),
    "precision too large": (
        lambda: Format("swell", 8, 114),
        "precision of format 'swell' must be a whole number from 2 to 113, not 114",
    ),
    "precision of another kind": (
        lambda: Format("swell", 8, 24.0),  # type: ignore[arg-type]
        "precision of format 'swell' must be a whole number from 2 to 113, not 24.0",
    ),
    "truth for a width": (
        lambda: Format("swell", True, 24),
        "exponent_bits of format 'swell' must be a whole number from 2 to 15, not True",
    ),
    "leading bit of another kind": (
        lambda: Format("f", 4, 4, explicit_leading_bit=1),  # type: ignore[arg-type]
        "explicit_leading_bit of format 'f' must be True or False, not 1",
    ),
    "no infinity beside an explicit leading bit": (
        lambda: Format("f", 4, 4, explicit_leading_bit=True, has_infinity=False),
        "format 'f' must have infinities where its leading bit is explicit",
    ),
    "no signalling NaN beside an explicit leading bit": (
        lambda: Format("f", 4, 2, explicit_leading_bit=True),
        "precision of format 'f' must be 3 or more where its leading bit is explicit: with 2 there is no "
        "signalling NaN, which encodings that make no sense are read as",
    ),
    "infinity where there is none": (
        lambda: ofp8_e4m3.infinity,
        "ofp8_e4m3 must have an infinity to encode it, and has none",
    ),
    "integer too wide": (
        lambda: IntegerFormat(65),
        "width of an integer must be a whole number from 8 to 64, not 65",
    ),
    "signedness of another kind": (
        lambda: IntegerFormat(8, signed="no"),  # type: ignore[arg-type]
        "signed of an integer must be True or False, not 'no'",
    ),
    "encoding too large": (
        lambda: TINY.check_encoding(128),
        "an encoding of e3p4 must lie between 0 and 0x7f (7 bits), not 0x80",
    ),
    "encoding below zero": (
        lambda: TINY.check_encoding(-1),
        "an encoding of e3p4 must lie between 0 and 0x7f (7 bits), not -0x1",
    ),
    "encoding of another kind": (
        lambda: TINY.check_encoding(1.0),  # type: ignore[arg-type]
        "an encoding of e3p4 must be an integer, not 1.0",
    ),
    "value of infinity": (
        lambda: TINY.decode(TINY.infinity),
        "0x38 of e3p4 is an infinity or a NaN and has no rational value",
    ),
    "spacing of a NaN": (
        lambda: TINY.spacing(TINY.quiet_nan),
        "0x3c of e3p4 is an infinity or a NaN and has no spacing",
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_no_format_has_is_refused(what: str) -> None:
    """Impossible parameters and encodings raise, saying what must hold and what came instead."""
    tried, message = REFUSED[what]

    with pytest.raises(FormatError) as caught:
        tried()

    assert message == str(caught.value)


def test_encodings_of_any_integer_type_are_taken() -> None:
    """An encoding may be a numpy integer, and comes back as an int."""
    checked = TINY.check_encoding(np.uint8(5))  # type: ignore[arg-type]

    assert (5, int) == (checked, type(checked))


@pytest.mark.parametrize(
    ("text", "fmt"),
    [
        ("binary32", binary32),
        ("Format('e3p4', exponent_bits=3, precision=4)", TINY),
        (
            "Format('g', exponent_bits=5, precision=9, explicit_leading_bit=True)",
            Format("g", 5, 9, explicit_leading_bit=True),
        ),
        ("Format('h', exponent_bits=4, precision=3, has_infinity=False)", Format("h", 4, 3, False, False)),
        ("Format('binary32', exponent_bits=5, precision=11)", Format("binary32", 5, 11)),
    ],
)
def test_format_prints_as_it_is_written(text: str, fmt: Format) -> None:
    """A known format prints as its name, any other as what makes it."""
    assert text == repr(fmt)


def test_formats_are_equal_by_what_they_are() -> None:
    """Formats of the same name and widths are equal and have one hash."""
    assert Format("e3p4", 3, 4) == TINY
    assert hash(Format("e3p4", 3, 4)) == hash(TINY)
    assert Format("e3p4", 4, 4) != TINY


@given(fmt=strategies.formats())
def test_signed_exponents_hold_what_is_met_between_roundings(fmt: Format) -> None:
    """Biased exponents of products and quotients, subnormal operands included, fit in two's complement."""
    lowest, highest = 1 - fmt.trailing_bits, fmt.largest_exponent_field - 1
    met = [
        2 * lowest - fmt.bias - 2,
        2 * highest - fmt.bias,
        lowest - highest + fmt.bias - 2,
        highest - lowest + fmt.bias,
    ]
    limit = 1 << (signed_exponent_bits(fmt) - 1)

    assert -limit <= min(met)
    assert max(met) < limit


def test_canonical_encodings() -> None:
    """Where the leading bit is stored, it is set beside every exponent but 0, and never beside that."""
    stored = Format("stored", exponent_bits=3, precision=4, explicit_leading_bit=True)
    for bits in range(1 << stored.width):
        exponent, leading = bits >> 4 & 7, bits >> 3 & 1
        assert (leading == (exponent != 0)) is stored.is_canonical(bits)
    assert all(ofp8_e4m3.is_canonical(bits) for bits in range(256))


@pytest.mark.parametrize(
    ("name", "fmt"),
    [
        ("binary32", binary32),
        ("Single", binary32),
        ("float", binary32),
        ("DOUBLE", binary64),
        ("half", binary16),
        ("quadruple", binary128),
    ],
)
def test_format_is_found_by_its_names(name: str, fmt: Format) -> None:
    """A format is found by the standard's name and those of C and the trade, in either case."""
    assert fmt is format_named(name)


def test_unknown_format_is_refused_with_the_nearest() -> None:
    """A name that is none is refused with all that are, and the nearest."""
    with pytest.raises(
        UnknownNameError, match=r"^the target must be one of binary16, .*; did you mean 'double'\?$"
    ):
        format_named("duoble", "the target")
