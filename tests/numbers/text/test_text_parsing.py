"""Texts of any length become the correctly rounded number, and a wrong one is pointed at."""

from __future__ import annotations

import math
import pickle
import struct
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import softfloat_py as sf
from softfloat_py.numbers.text.text_encoding import encode_text
from tests import strategies
from tests.published import decimal_texts
from tests.published.decimal_texts import TextCase
from tests.references import multiprecision
from tests.references.exact_rounding import Destination

LONG = sf.Format("long", exponent_bits=15, precision=64)
TINY = sf.Format("tiny", exponent_bits=3, precision=2)
FORMATS = (sf.binary16, sf.bfloat16, sf.binary32, sf.binary64, sf.binary128, LONG, TINY, sf.ofp8_e4m3)
UP, DOWN, ZERO = sf.Rounding.TOWARD_POSITIVE, sf.Rounding.TOWARD_NEGATIVE, sf.Rounding.TOWARD_ZERO
UNDERFLOW, OVERFLOW = (flag | sf.Flags.INEXACT for flag in (sf.Flags.UNDERFLOW, sf.Flags.OVERFLOW))
# No format keeps so many digits that these could matter.
MANY = 50_000


def bits_of(host: float) -> int:
    """The encoding of a host float."""
    return int(struct.unpack("<Q", struct.pack("<d", host))[0])


def scaled_text(digits: int, exponent: int) -> str:
    """The text of digits × 10**exponent; Decimal writes whole numbers of any length."""
    return f"{Decimal(digits)}e{exponent}"


@st.composite
def near_boundaries(draw: st.DrawFn, fmt: sf.Format) -> tuple[int, int]:
    """digits and exponent of a decimal at, just above or just below a number or the middle between two."""
    bits = draw(strategies.finite_encodings(fmt.twin))
    boundary = fmt.twin.decode(bits) + fmt.twin.spacing(bits) * draw(
        st.sampled_from([Fraction(0), Fraction(1, 2)])
    )
    places = boundary.denominator.bit_length() - 1
    further = draw(st.sampled_from([0, 1, 30, 1500]))
    digits = boundary.numerator * 5**places * 10**further + draw(st.integers(-1, 1))
    return digits, -places - further


def any_decimals(fmt: sf.Format) -> st.SearchStrategy[tuple[int, int]]:
    """digits and exponent of a decimal in the format's range or a little outside."""
    span = (fmt.emax + fmt.precision) // 3 + 20
    return st.tuples(st.integers(-(10**40), 10**40), st.integers(-span - 20, span - 20))


@settings(max_examples=150)
@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@given(data=st.data(), rounding=strategies.roundings())
def test_decimals_are_rounded_as_rational_arithmetic_rounds(
    fmt: sf.Format, data: st.DataObject, rounding: sf.Rounding
) -> None:
    """Encoding and flags are those of the exact value, in every direction, beside every boundary."""
    digits, exponent = data.draw(
        st.one_of(near_boundaries(fmt), any_decimals(fmt)).filter(lambda d: d[0] != 0)
    )
    expected = Destination(fmt, rounding).round(digits * Fraction(10) ** exponent)
    assert expected == encode_text(fmt, scaled_text(digits, exponent), rounding=rounding)


@settings(max_examples=100)
@pytest.mark.parametrize("fmt", FORMATS[:-1], ids=repr)
@given(data=st.data(), rounding=st.sampled_from(sorted(multiprecision.DIRECTIONS)))
def test_decimals_are_rounded_as_mpfr_rounds(
    fmt: sf.Format, data: st.DataObject, rounding: sf.Rounding
) -> None:
    """MPFR, which reads texts by itself, has the same encodings in its four directions."""
    digits, exponent = data.draw(st.one_of(near_boundaries(fmt), any_decimals(fmt)))
    text = scaled_text(digits, exponent)
    assert (
        multiprecision.convert_from_text(fmt, rounding, text) == encode_text(fmt, text, rounding=rounding)[0]
    )


@settings(max_examples=100)
@pytest.mark.parametrize("fmt", FORMATS[:-1], ids=repr)
@given(data=st.data(), rounding=st.sampled_from(sorted(multiprecision.DIRECTIONS)))
def test_hexadecimal_significands_are_rounded_as_mpfr_rounds(
    fmt: sf.Format, data: st.DataObject, rounding: sf.Rounding
) -> None:
    """A hexadecimal text has the encoding that MPFR gives it, subnormal and overflowing ones too."""
    digits = data.draw(st.text("0123456789abcdefABCDEF", min_size=1, max_size=40))
    point = data.draw(st.integers(0, len(digits)))
    exponent = data.draw(st.integers(fmt.emin - fmt.precision - 90, fmt.emax + 90))
    text = f"-0x{digits[:point]}.{digits[point:]}p{exponent}"
    assert (
        multiprecision.convert_from_text(fmt, rounding, text) == encode_text(fmt, text, rounding=rounding)[0]
    )


@settings(max_examples=500)
@given(st.text("+-0123456789._eEinfaty ", max_size=24))
@example("1_000.000_1e1_0")
@example("-Infinity")
@example(" +nan ")
@example("1_.5")
def test_what_python_reads_is_read_alike(text: str) -> None:
    """Decimal texts, underscores, blanks, inf and nan are accepted or refused as float() does."""
    try:
        host = float(text)
    except ValueError:
        with pytest.raises(sf.TextError):
            sf.binary64.from_text(text)
        return
    expected = (
        sf.binary64.quiet_nan | bits_of(math.copysign(0.0, host)) if math.isnan(host) else bits_of(host)
    )
    assert expected == sf.binary64.from_text(text).bits


@settings(max_examples=300)
@given(st.floats())
def test_python_s_own_texts_are_read(host: float) -> None:
    """repr, exact digits and hexadecimal form of a host float give its encoding."""
    for text in (repr(host), host.hex(), str(Decimal(host))):
        if not math.isnan(host):
            assert bits_of(host) == sf.binary64.from_text(text).bits


@pytest.mark.parametrize("case", decimal_texts.CASES, ids=lambda case: f"{case.format.name}-{case.text[:24]}")
def test_known_hard_texts(case: TextCase) -> None:
    """Texts that readers are known to get wrong have the published encoding and flags."""
    assert (case.result, case.flags) == encode_text(case.format, case.text, rounding=sf.Rounding.TIES_TO_EVEN)


@pytest.mark.parametrize("fmt", [*FORMATS, sf.extended80], ids=repr)
@pytest.mark.parametrize("exponent", ["999999999999", "9" * 10_000, "1_000_000"])
def test_absurd_exponents_overflow_and_underflow(fmt: sf.Format, exponent: str) -> None:
    """An exponent beyond all reason gives what the largest or smallest magnitude gives."""
    assert (fmt.sign_bit | 1, UNDERFLOW) == encode_text(fmt, f"-1e-{exponent}", rounding=DOWN)
    assert (0, UNDERFLOW) == encode_text(fmt, f"0x1p-{exponent}")
    assert (fmt.largest_finite, OVERFLOW) == encode_text(fmt, f"0x1p+{exponent}", rounding=ZERO)
    assert (fmt.first_special, OVERFLOW) == encode_text(fmt, f"1e{exponent}", rounding=UP)
    assert (fmt.sign_bit, sf.Flags.NONE) == encode_text(fmt, f"-0e{exponent}")


@pytest.mark.parametrize(
    ("expected", "text"),
    [
        (0x3F800000, "0." + "0" * 10**6 + "1e1000001"),
        (0x3F800000, "1" + "0" * 10**6 + "e-1000000"),
        (0x3F800000, "0x0." + "0" * 10**6 + "1p4000004"),
        (0x3F800000, "1." + "0" * 10**6),
        (0x3F800000, "0" * 10**6 + "1"),
        (0x3F800000, "0." + "9" * 10**6),
        (0x7F800000, "9" * 10**6),
        (0x00000000, "0." + "0" * 10**6 + "1"),
    ],
    ids=range(8),
)
def test_a_million_digits(expected: int, text: str) -> None:
    """All digits are read, however many, and exponents make up for them."""
    assert expected == sf.binary32.from_text(text).bits


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_the_last_digit_of_many_breaks_a_tie(fmt: sf.Format) -> None:
    """A digit far behind all others decides on which side of a middle a text lies."""
    one = fmt(1).bits
    places = fmt.precision  # the middle above 1 is 1 + 2**-places
    text = f"1.{5**places:0{places}}"  # 2**-places = 5**places × 10**-places
    assert one == fmt.from_text(text).bits
    assert one == fmt.from_text(text + "0" * MANY).bits
    assert one + 1 == fmt.from_text(text + "0" * MANY + "1").bits
    assert (one + 1, sf.Flags.INEXACT) == encode_text(fmt, "1." + "0" * MANY + "1", rounding=UP)
    assert (one + 1, sf.Flags.INEXACT) == encode_text(fmt, "0x1." + "0" * MANY + "1", rounding=UP)
    assert one == fmt.from_text(f"0x1.{'0' * MANY}").bits


@pytest.mark.parametrize(
    ("expected", "text"),
    [
        ("0x7fc00000", "nan"),
        ("0xffc00000", "-NaN"),
        ("0x7fc00012", "nan(0x12)"),
        ("0x7fc00012", "NAN(18)"),
        ("0x7fc00000", "nan()"),
        ("0x7fffffff", "nan(0X3FFFFF)"),
        ("0x7f800001", "snan"),
        ("0xff800012", "-sNaN(0x12)"),
        ("0xff800000", " -inf\n"),
        ("0x7f800000", "+INFINITY"),
        ("0x80000000", "-0x0.p+5"),
    ],
)
def test_special_texts(expected: str, text: str) -> None:
    """Infinities and NaNs are read in any case, with sign and payload, without a flag (clause 5.12.1)."""
    bits, flags = encode_text(sf.binary32, text)
    assert (expected, sf.Flags.NONE) == (hex(bits), flags)


@pytest.mark.parametrize("fmt", [sf.ofp8_e4m3, TINY], ids=repr)
def test_formats_without_signaling_nans(fmt: sf.Format) -> None:
    """Where a format has no signalling NaN, reading one is invalid and gives the quiet one."""
    assert (fmt.quiet_nan, sf.Flags.INVALID_OPERATION) == encode_text(fmt, "snan")
    with pytest.raises(sf.TextError, match=r"needs a payload from 0 to 0x0, as"):
        fmt.from_text("nan(1)")


def test_stored_leading_bits_are_set() -> None:
    """The 80-bit format has its leading bit in numbers and NaNs (x87 encodings, from memory)."""
    assert 0x3FFF_C000_0000_0000_0000 == sf.extended80.from_text("1.5").bits
    assert 0x7FFF_C000_0000_0000_0012 == sf.extended80.from_text("nan(0x12)").bits
    assert 0x0000_0000_0000_0000_0001 == sf.extended80.from_text("3.7e-4951").bits


A_NUMBER = "the text of a number needs "


@pytest.mark.parametrize(
    ("text", "place", "expected", "came"),
    [
        ("", 0, "a sign, a digit, a point, inf or nan", "the end"),
        ("wave", 0, "a sign, a digit, a point, inf or nan", "'w'"),
        ("--1", 1, "a digit, a point, inf or nan", "'-'"),
        (".", 1, "a digit", "the end"),
        ("1.2x5", 3, "a digit, an exponent (e) or the end", "'x'"),
        ("1.2.3", 3, "a digit, an exponent (e) or the end", "'.'"),
        ("1,5", 1, "a digit, a point, an exponent (e) or the end", "','"),
        ("1e", 2, "a sign or a digit", "the end"),
        ("1e+", 3, "a digit of the exponent", "the end"),
        ("1e5.0", 3, "a digit or the end", "'.'"),
        ("0x", 2, "a hexadecimal digit or a point", "the end"),
        ("0x1.8e+5", 6, "a hexadecimal digit, an exponent (p) or the end", "'+'"),
        ("0x1p3f", 5, "a digit or the end", "'f'"),
        ("1 2", 1, "a digit, a point, an exponent (e) or the end", "' '"),
        ("infinite", 3, "the end", "'i'"),
        ("nan 1", 3, "a payload in parentheses or the end", "' '"),
        ("nan(x)", 4, "a payload", "'x'"),
        ("nan(012)", 5, "a closing parenthesis", "'1'"),
        ("nan(1)2", 6, "the end", "'2'"),
        (
            "1__0",
            1,
            "a digit, a point, an exponent (e) or the end (an underscore stands between two digits)",
            "'_'",
        ),
        ("ſnan", 0, "a sign, a digit, a point, inf or nan", "'ſ'"),  # an s to Unicode
        ("١", 0, "a sign, a digit, a point, inf or nan", "'١'"),
    ],
)
def test_wrong_texts_are_pointed_at(text: str, place: int, expected: str, came: str) -> None:
    """The error has the place, says what might have stood there, and draws a caret below it."""
    with pytest.raises(sf.TextError) as caught:
        sf.binary32.from_text(text)
    assert place == caught.value.place
    assert f"{A_NUMBER}{expected} at the caret, not {came}:\n  {text}\n  {' ' * place}^" == str(caught.value)


@pytest.mark.parametrize(
    ("sentence", "shown", "caret", "text"),
    [
        (
            "the text of a NaN needs a payload from 0 to 0x3f, as bfloat16 has it, at the caret, not '6':",
            "  nan(64)",
            "      ^",
            "nan(64)",
        ),
        (
            "the text of a signalling NaN needs a payload of 1 or more at the caret, not '0':",
            "  -snan(0)",
            "        ^",
            "-snan(0)",
        ),
        (
            "the text of a number needs a digit, an exponent (e) or the end at the caret, not '\\t':",
            "  1.2·3·",
            "     ^",
            "1.2\t3\n",
        ),
    ],
)
def test_errors_word_for_word(sentence: str, shown: str, caret: str, text: str) -> None:
    """Payloads that do not fit are pointed at; characters that cannot be printed do not move the caret."""
    with pytest.raises(sf.TextError) as caught:
        sf.bfloat16.from_text(text)
    assert [sentence, shown, caret] == str(caught.value).splitlines()


def test_long_wrong_texts_are_cut() -> None:
    """Of a long text, the surroundings of the fault are shown, with the caret still below it."""
    with pytest.raises(sf.TextError) as caught:
        sf.binary32.from_text("1" * 1000 + "?" + "2" * 1000)
    _, shown, caret = str(caught.value).splitlines()
    assert "?" == shown[caret.index("^")]
    assert "  …" + "1" * 39 + "?" + "2" * 38 + "…" == shown


def test_huge_payloads_do_not_fit() -> None:
    """A payload of any length is refused as any other that is too large."""
    for payload in ("9" * 100_000, "0x" + "f" * 100_000):
        with pytest.raises(sf.TextError, match=r"^the text of a NaN needs a payload from 0 to"):
            sf.binary128.from_text(f"nan({payload})")


def test_text_errors_are_value_errors_and_survive_pickling() -> None:
    """The error is caught as Python's own would be, and copies keep their parts."""
    with pytest.raises(ValueError, match="at the caret") as caught:
        sf.binary32.from_text("1.2x5")
    again = pickle.loads(pickle.dumps(caught.value))
    assert (str(caught.value), 3) == (str(again), again.place)


@pytest.mark.parametrize("value", [1.5, b"1.5", None])
def test_only_texts_are_read(value: Any) -> None:
    """What is no str is refused with its type."""
    with pytest.raises(sf.OperandError, match=r"^the text of a number must be a str, not "):
        sf.binary32.from_text(value)


def test_from_text_is_a_constant_of_the_program() -> None:
    """The environment's direction rounds it; it is not counted and raises no flags."""
    with sf.counting() as tally, sf.environment(rounding=UP) as env:
        number = sf.binary32.from_text("0.1")
        below = sf.binary32.from_text("-0.1")
    assert (0x3DCCCCCD, 0xBDCCCCCC) == (number.bits, below.bits)
    assert (sf.Flags.NONE, {}) == (env.flags, tally.calls)
