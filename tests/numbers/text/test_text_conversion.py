"""The standard's conversions between numbers and character sequences, with rounding directions and flags."""

from __future__ import annotations

from collections.abc import Callable
from decimal import (
    ROUND_CEILING,
    ROUND_DOWN,
    ROUND_FLOOR,
    ROUND_HALF_EVEN,
    ROUND_HALF_UP,
    Context,
    Decimal,
)
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import softfloat_py as sf
from tests import strategies
from tests.references.leading_bit import from_twin

FORMATS = (sf.binary16, sf.bfloat16, sf.binary32, sf.binary64, sf.binary128, sf.extended80, sf.ofp8_e5m2)
UP, DOWN = sf.Rounding.TOWARD_POSITIVE, sf.Rounding.TOWARD_NEGATIVE
NONE, INEXACT = sf.Flags.NONE, sf.Flags.INEXACT
# The decimal module's names for the directions; its ROUND_HALF_UP is away from zero.
DECIMAL_DIRECTIONS = {
    sf.Rounding.TIES_TO_EVEN: ROUND_HALF_EVEN,
    sf.Rounding.TIES_TO_AWAY: ROUND_HALF_UP,
    sf.Rounding.TOWARD_POSITIVE: ROUND_CEILING,
    sf.Rounding.TOWARD_NEGATIVE: ROUND_FLOOR,
    sf.Rounding.TOWARD_ZERO: ROUND_DOWN,
}


@pytest.mark.parametrize(
    ("expected", "flags", "text"),
    [
        # 0.1 lies between 0x3DCCCCCC and 0x3DCCCCCD.
        (0x3DCCCCCD, INEXACT, "0.1"),
        (0xBDCCCCCC, INEXACT, "-1e-1"),
        (0x3F000000, NONE, "0.5"),
        (0x7F800000, INEXACT | sf.Flags.OVERFLOW, "1e39"),
        (0xFF7FFFFF, INEXACT | sf.Flags.OVERFLOW, "-1e39"),
        (0x00000001, INEXACT | sf.Flags.UNDERFLOW, "1e-99"),
        (0x7F800001, NONE, "snan"),
    ],
)
def test_reading_raises_flags_and_rounds_as_the_environment_says(
    expected: int, flags: sf.Flags, text: str
) -> None:
    """Binary32 from decimal toward positive: encoding, and the flags of clause 7."""
    with sf.environment(rounding=UP) as env:
        bits = sf.convert_from_decimal_character(text, sf.binary32).bits
    assert (expected, flags) == (bits, env.flags)


def test_rounding_is_for_one_conversion() -> None:
    """`rounding` overrides the environment; the flags stay there, and nothing is counted."""
    with sf.counting() as tally, sf.environment() as env:
        number = sf.convert_from_decimal_character("0.1", sf.binary32, rounding=DOWN)
        text = sf.convert_to_decimal_character(number, ".1e", rounding=UP)
    assert (0x3DCCCCCC, "1.0e-01") == (number.bits, text)
    assert (INEXACT, {}, sf.Rounding.TIES_TO_EVEN) == (env.flags, tally.calls, env.rounding)


def test_hexadecimal_texts_round_too() -> None:
    """A hexadecimal significand with more digits than fit is inexact; one that fits is exact."""
    with sf.environment() as env:
        assert 0x3F800000 == sf.convert_from_hex_character("0x1.000001p0", sf.binary32).bits
        assert INEXACT == env.flags
        env.flags = NONE
        assert 0x3F800001 == sf.convert_from_hex_character("0X1.000002P+0", sf.binary32).bits
        assert NONE == env.flags


def test_options_without_flags_keep_none() -> None:
    """Where operations record no exceptions, conversions do not either; other directions are refused."""
    with sf.environment(options=sf.LEAN) as env:
        sf.convert_from_decimal_character("0.1", sf.binary32)
        with pytest.raises(sf.ConventionError, match="round ties to even only"):
            sf.convert_from_decimal_character("0.1", sf.binary32, rounding=UP)
    assert NONE == env.flags


@pytest.mark.parametrize(
    ("expected", "convert", "text"),
    [
        ("a digit, a point, an exponent (e) or the end", sf.convert_from_decimal_character, "0x1p3"),
        ("0x, inf or nan", sf.convert_from_hex_character, "1.5"),
    ],
)
def test_each_conversion_reads_its_own_notation(
    expected: str, convert: Callable[..., Any], text: str
) -> None:
    """Decimal texts are no hexadecimal ones, nor the other way round; from_text takes both."""
    with pytest.raises(sf.TextError) as caught:
        convert(text, sf.binary32)
    assert expected == caught.value.expected
    assert sf.binary32.from_text(text).bits


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@given(data=st.data(), precision=st.integers(0, 40), rounding=strategies.roundings())
def test_decimals_are_written_in_every_direction(
    fmt: sf.Format, data: st.DataObject, precision: int, rounding: sf.Rounding
) -> None:
    """As the decimal module rounds the exact value; inexact is raised where something was lost."""
    number = fmt.from_bits(data.draw(strategies.finite_encodings(fmt)))
    exact = Decimal(number.exact_decimal())
    rounded = Context(precision + 1, DECIMAL_DIRECTIONS[rounding], -(10**6), 10**6).plus(exact)
    with sf.environment(rounding=rounding) as env:
        text = sf.convert_to_decimal_character(number, f".{precision}e")
    assert (rounded, rounded != exact) == (Decimal(text), env.flags.inexact)


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@given(data=st.data(), digits=st.integers(0, 30), rounding=strategies.roundings())
def test_hexadecimals_are_written_in_every_direction(
    fmt: sf.Format, data: st.DataObject, digits: int, rounding: sf.Rounding
) -> None:
    """The text lies on the side that the direction names and less than a unit of its last digit away."""
    number = fmt.from_bits(data.draw(strategies.finite_encodings(fmt)))
    with sf.environment(rounding=rounding) as env:
        text = sf.convert_to_hex_character(number, f".{digits}a")
    significand, _, exponent = text.removeprefix("-").removeprefix("0x").partition("p")
    places = len(significand.partition(".")[2])
    unit = Fraction(2) ** (int(exponent) - 4 * places)
    magnitude = int(significand.replace(".", ""), 16) * unit
    exact, written = fmt.decode(number.bits), -magnitude if text.startswith("-") else magnitude
    assert (written != exact) == env.flags.inexact
    assert abs(written - exact) < unit
    if rounding is UP:
        assert written >= exact
    if rounding is DOWN:
        assert written <= exact
    if rounding is sf.Rounding.TOWARD_ZERO:
        assert abs(written) <= abs(exact)
    if rounding is sf.Rounding.TIES_TO_EVEN:
        assert abs(written - exact) <= unit / 2


@pytest.mark.parametrize(
    ("expected", "flags", "specification", "value"),
    [
        ("0.1", INEXACT, "", 0.1),
        ("0.5", NONE, "", 0.5),
        ("0.25", NONE, ".2f", 0.25),
        ("0.3", INEXACT, ".1f", 0.25),
        ("-0.2", INEXACT, ".1f", -0.25),
        ("25%", NONE, ".0%", 0.25),
        ("+0,000,000.3", INEXACT, "+012,.1f", 0.25),
    ],
)
def test_specifications_and_inexact(expected: str, flags: sf.Flags, specification: str, value: float) -> None:
    """Rounded toward positive as specified; inexact where the text says another value, even if shortest."""
    with sf.environment(rounding=UP) as env:
        text = sf.convert_to_decimal_character(sf.binary32(value), specification)
    assert (expected, flags) == (text, env.flags)


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@given(data=st.data())
def test_whatever_is_written_reads_back(fmt: sf.Format, data: st.DataObject) -> None:
    """The default texts give back every encoding, a NaN's sign, payload and kind included (clause 5.12.1)."""
    bits = from_twin(fmt, data.draw(strategies.encodings(fmt.twin)))
    number = fmt.from_bits(bits)
    decimal, hexadecimal = sf.convert_to_decimal_character(number), sf.convert_to_hex_character(number)
    assert bits == sf.convert_from_decimal_character(decimal, fmt).bits
    assert bits == sf.convert_from_hex_character(hexadecimal, fmt).bits


@pytest.mark.parametrize(
    ("expected", "bits"),
    [
        ("nan", 0x7FC00000),
        ("-nan(0x12)", 0xFFC00012),
        ("snan", 0x7F800001),
        ("-snan(0x12)", 0xFF800012),
        ("inf", 0x7F800000),
    ],
)
def test_special_numbers_are_written_without_exceptions(expected: str, bits: int) -> None:
    """Infinities and NaNs have their names, in decimal and hexadecimal alike, and raise no flag."""
    number = sf.binary32.from_bits(bits)
    with sf.environment() as env:
        assert expected == sf.convert_to_decimal_character(number)
        assert expected == sf.convert_to_hex_character(number)
        assert f"{expected:>14}" == sf.convert_to_decimal_character(number, "14.2f")
    assert NONE == env.flags


@pytest.mark.parametrize("value", [0.5, None, sf.binary32.array([0.5])], ids=["float", "None", "array"])
def test_only_numbers_are_written(value: Any) -> None:
    """What is no Number is refused by name."""
    with pytest.raises(sf.OperandError, match=r"^convert_to_hex_character needs a Number, not "):
        sf.convert_to_hex_character(value)
    with pytest.raises(sf.OperandError, match=r"^convert_from_hex_character needs a Format for its result"):
        sf.convert_from_hex_character("0x1p0", value)


def test_types_of_the_other_notation_are_refused() -> None:
    """A decimal conversion has no hexadecimal type, nor the other way round."""
    number = sf.binary32(0.5)
    with pytest.raises(sf.TextError, match="needs one of the types e E f F g G %, or the end,"):
        sf.convert_to_decimal_character(number, ".2a")
    with pytest.raises(sf.TextError, match="needs one of the types a A, or the end,"):
        sf.convert_to_hex_character(number, ".2f")
