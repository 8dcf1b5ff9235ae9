"""Numbers become texts: the shortest, the exact one, hexadecimal ones, and by format specifications."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

import softfloat_py as sf
from tests import strategies
from tests.references import multiprecision
from tests.references.exact_rounding import Destination
from tests.references.leading_bit import from_twin, to_twin

LONG = sf.Format("long", exponent_bits=15, precision=64)
WIDE = (sf.binary128, sf.extended80, LONG)
NARROW = (sf.binary16, sf.bfloat16, sf.binary32, sf.binary64)
SMALL = (
    sf.ofp8_e4m3,
    sf.ofp8_e5m2,
    *(sf.Format(f"e{e}p{p}", e, p) for e, p in ((2, 2), (3, 2), (5, 2), (4, 3), (5, 5), (7, 3))),
)
EVEN = sf.Rounding.TIES_TO_EVEN
# More digits than any number here has.
EXACT = Context(prec=20_000, Emax=10**6, Emin=-(10**6))

doubles = st.floats(allow_nan=False)


def exactly(fmt: sf.Format, bits: int) -> Decimal:
    """The value of a finite encoding, in full."""
    value = fmt.decode(bits)
    return EXACT.divide(Decimal(value.numerator), Decimal(value.denominator))


def evaluated(text: str) -> sf.Number:
    """What a repr stands for."""
    number = eval(text, {**vars(sf), "float": float})
    assert isinstance(number, sf.Number)
    return number


# -- the shortest text -----------------------------------------------------------------------------------


@given(doubles)
@example(2.0**49 + 0.25)  # as near to .2 as to .3
@example(2.0**49 + 0.75)
def test_shortest_texts_of_binary64_are_python_s(host: float) -> None:
    """The same digits, laid out alike, as Python's own repr."""
    assert repr(host) == str(sf.binary64(host))


@given(st.integers(0, 0x7BFF))
@example(0x0400)
def test_shortest_texts_of_binary16_have_numpy_s_digits(bits: int) -> None:
    """The digits are those of numpy's shortest unique text, another implementation."""
    host = np.uint16(bits).view(np.float16)
    assert Decimal(np.format_float_scientific(host)) == Decimal(str(sf.binary16.from_bits(bits)))


@pytest.mark.parametrize("fmt", SMALL, ids=repr)
def test_no_shorter_text_gives_a_number_of_a_small_format(fmt: sf.Format) -> None:
    """Of all encodings, tried digit by digit: the text reads back, none has fewer digits, none is nearer."""
    destination = Destination(fmt, EVEN)
    for bits in range(1, fmt.largest_finite + 1):
        exact, text = exactly(fmt, bits), Decimal(str(fmt.from_bits(bits)))
        for digits in range(1, 20):
            unit = Decimal((0, (1,), exact.adjusted() - digits + 1))
            below = EXACT.multiply(unit, (EXACT.divide(exact, unit)).to_integral_value("ROUND_FLOOR", EXACT))
            candidates = [value for value in (below, EXACT.add(below, unit)) if value]
            good = [value for value in candidates if destination.round(Fraction(value))[0] == bits]
            if good:
                break
        distances = [abs(Fraction(value) - Fraction(exact)) for value in good]
        assert min(distances) == abs(Fraction(text) - Fraction(exact))
        assert digits >= len(text.normalize().as_tuple().digits)


@pytest.mark.parametrize("fmt", WIDE, ids=repr)
@given(data=st.data())
def test_shortest_texts_of_wide_formats_read_back_and_are_shortest(
    fmt: sf.Format, data: st.DataObject
) -> None:
    """MPFR reads the number back from the text, and another one from any text with a digit less."""
    bits = data.draw(strategies.finite_encodings(fmt.twin).filter(lambda bits: 0 < bits < fmt.twin.sign_bit))
    text = Decimal(str(fmt.from_bits(from_twin(fmt, bits))))
    assert bits == multiprecision.convert_from_text(fmt.twin, EVEN, str(text))
    fewer = len(text.normalize().as_tuple().digits) - 1
    for rounding in ("ROUND_FLOOR", "ROUND_CEILING") if fewer else ():
        shorter = Context(fewer, rounding, -(10**6), 10**6).plus(exactly(fmt.twin, bits))
        assert bits != multiprecision.convert_from_text(fmt.twin, EVEN, str(shorter))


@pytest.mark.parametrize("fmt", [*NARROW, *WIDE, sf.ofp8_e4m3], ids=repr)
@given(data=st.data())
def test_texts_read_back(fmt: sf.Format, data: st.DataObject) -> None:
    """repr gives back every encoding; str, exact digits and both hexadecimal forms every number."""
    number = fmt.from_bits(data.draw(strategies.encodings(fmt)))
    assert number.bits == evaluated(repr(number)).bits
    if fmt.is_finite(number.bits):
        canonical = from_twin(fmt, to_twin(fmt, number.bits))
        for text in (str(number), number.exact_decimal(), number.hex(), f"{number:a}", f"{number:A}"):
            assert canonical == fmt.from_text(text).bits


@pytest.mark.parametrize(
    ("expected", "number"),
    [
        ("binary128(1.5)", sf.binary128(1.5)),
        ("binary128(0.1)", sf.binary128(0.1)),
        ("binary128.from_text('0.1')", sf.binary128.from_text("0.1")),
        ("binary128.from_text('-1e-4950')", sf.binary128.from_text("-1e-4950")),
        ("extended80.from_text('1.0000000000000000001')", sf.extended80.from_bits(0x3FFF8000000000000001)),
        # Pseudo-denormal and unsupported encodings, which no text stands for.
        ("extended80.from_bits(0x8000000000000000)", sf.extended80.from_bits(0x8000000000000000)),
        ("extended80.from_bits(0x10000000000000000)", sf.extended80.from_bits(0x10000000000000000)),
        ("ofp8_e4m3(float('nan'))", sf.ofp8_e4m3.from_bits(0x7F)),
        ("ofp8_e4m3.from_bits(0xff)", sf.ofp8_e4m3.from_bits(0xFF)),
    ],
)
def test_repr_is_the_plainest_expression(expected: str, number: sf.Number) -> None:
    """A host float where one does it, else the shortest text, else the bits."""
    assert expected == repr(number)


@given(st.floats(width=32, allow_nan=False))
def test_repr_of_binary128_prefers_floats(host: float) -> None:
    """What a host float says exactly is written as one, however many digits binary128 would need."""
    assert f"binary128({host!r})" == repr(sf.binary128(host)) or math.isinf(host)


# -- all digits ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fmt", [*NARROW, *WIDE, sf.ofp8_e4m3], ids=repr)
@given(data=st.data())
def test_exact_decimals_are_the_value(fmt: sf.Format, data: st.DataObject) -> None:
    """As a Decimal, the text is the value of the encoding, with nothing lost."""
    bits = data.draw(strategies.finite_encodings(fmt))
    assert exactly(fmt, bits) == Decimal(fmt.from_bits(bits).exact_decimal())


@pytest.mark.parametrize(
    ("expected", "text"),
    [
        ("0.0999755859375", "0.1"),
        ("-1.0", "-1"),
        ("65504.0", "65504"),
        ("5.9604644775390625e-08", "6e-8"),
        ("-0.0", "-0"),
        ("-inf", "-inf"),
        ("nan", "nan"),
    ],
)
def test_exact_decimals_are_laid_out_as_str_does(expected: str, text: str) -> None:
    """Positional or scientific by Python's rule; 2**-24 is 5.9604644775390625e-08."""
    assert expected == sf.binary16.from_text(text).exact_decimal()


# -- hexadecimal -----------------------------------------------------------------------------------------


@given(st.floats())
def test_hexadecimal_texts_of_binary64_are_python_s(host: float) -> None:
    """hex() gives what float.hex gives, infinities and NaNs included."""
    assert host.hex() == sf.binary64(host).hex()


@pytest.mark.parametrize(
    ("expected", "specification", "number"),
    [
        # From ISO C's description of %a: one digit before the point, not 0 for a normal number.
        ("0x1.8p+0", "a", sf.binary32(1.5)),
        ("0X1.8P+0", "A", sf.binary32(1.5)),
        ("0x1p+0", "a", sf.binary32(1)),
        ("0x1.p+0", "#a", sf.binary32(1)),
        ("0x1.00p+0", ".2a", sf.binary32(1)),
        # 0x1.ff8p+0 is 1.998046875: a tie between 0x1.ffp+0 and 0x2.00p+0, of which the latter is even.
        ("0x1.00p+1", ".2a", sf.binary32(1.998046875)),
        ("0x1p+1", ".0a", sf.binary32(1.5)),
        ("0x0p+0", "a", sf.binary32(0)),
        ("-0x0.000002p-126", "a", sf.binary32.from_bits(0x80000001)),
        ("0x0.0p-126", ".1a", sf.binary32.from_bits(0x00000001)),
        ("+0x001.8p+0", "+011a", sf.binary32(1.5)),
        ("     -inf", "9a", sf.binary32(-math.inf)),
    ],
)
def test_hexadecimal_specifications(expected: str, specification: str, number: sf.Number) -> None:
    """The type a is C's: all digits that are needed, or as many as asked for, rounded correctly."""
    assert expected == format(number, specification)


# -- format specifications -------------------------------------------------------------------------------


@st.composite
def specifications(draw: st.DrawFn, types: list[str]) -> str:
    """Any specification of Python's mini-language with one of these types."""
    align = draw(st.sampled_from(["", "<", ">", "=", "^", "*<", "0=", "0>", "z^", "é="]))
    sign = draw(st.sampled_from(["", "+", "-", " "])) + draw(st.sampled_from(["", "z"]))
    rest = draw(st.sampled_from(["", "#"])) + draw(st.sampled_from(["", "0"]))
    width = draw(st.one_of(st.just(""), st.integers(1, 40).map(str))) + draw(st.sampled_from(["", ",", "_"]))
    precision = draw(st.one_of(st.just(""), st.integers(0, 30).map(".{}".format)))
    return align + sign + rest + width + precision + draw(st.sampled_from(types))


def moderate() -> st.SearchStrategy[float]:
    """Doubles of which many have a short positional text."""
    return st.one_of(
        doubles,
        st.floats(-1e6, 1e6),
        st.integers(-(10**17), 10**17).map(float),
        st.sampled_from([0.5, 9.5, 999999.5]),
    )


@settings(max_examples=1500)
@given(moderate(), specifications(["", "e", "E", "f", "F", "g", "G"]))
@example(1e16, "#")
@example(3.0, ".0")
@example(-0.001, "z.1f")
@example(math.inf, "012,")
@example(1234.5, "010,.1f")
@example(9.5, ".0")
def test_specifications_of_binary64_are_python_s(host: float, specification: str) -> None:
    """Every specification gives what Python gives for a float."""
    assert format(host, specification) == format(sf.binary64(host), specification)


@given(st.integers(-(2**40), 2**40), st.integers(0, 30), specifications(["%"]))
def test_per_cent_of_binary64_is_python_s(numerator: int, places: int, specification: str) -> None:
    """Where the product by 100 is exact, a percentage is Python's."""
    host = numerator / 2**places
    assert format(host, specification) == format(sf.binary64(host), specification)


def test_per_cent_is_of_the_exact_value() -> None:
    """100 times binary64's 0.145 is 14.499999999999998889776975… (its digits), not the 14.499999999999998 or
    14.5 that a rounded product may be.
    """
    assert str(Decimal.from_float(0.145) * 100)[:20] == f"{sf.binary64(0.145):.17%}"[:20]


@pytest.mark.parametrize("fmt", [*NARROW, *WIDE], ids=repr)
@given(data=st.data(), precision=st.integers(0, 60))
def test_digits_of_every_format_are_those_of_the_exact_value(
    fmt: sf.Format, data: st.DataObject, precision: int
) -> None:
    """e, f and g round the exact value to even, as the decimal module rounds it; no double is in between."""
    bits = data.draw(strategies.finite_encodings(fmt))
    number, exact = fmt.from_bits(bits), exactly(fmt, bits)
    to_digits = Context(precision + 1, ROUND_HALF_EVEN, -(10**6), 10**6)
    assert to_digits.plus(exact) == Decimal(f"{number:.{precision}e}")
    assert to_digits.plus(exact) == Decimal(f"{number:.{precision + 1}g}")
    unit = Decimal((0, (1,), -precision))
    assert exact.quantize(unit, ROUND_HALF_EVEN, EXACT) == Decimal(f"{number:.{precision}f}")


def test_wide_formats_keep_their_digits() -> None:
    """pi, from memory, has more right digits in binary128 than a double could give."""
    pi = sf.binary128.from_text("3.14159265358979323846264338327950288419716939937510")
    assert "3.141592653589793238462643383279503" == f"{pi:.33f}"
    assert "3.1415926535897932384626433832795e+00" == f"{pi:.31e}"
    assert "1.000e+4000" == f"{sf.binary128.from_text('1e4000'):.3e}"
    assert "1e+4000" == f"{sf.binary128.from_text('1e4000'):g}"


def test_thousands_of_digits() -> None:
    """No number has too many digits to be written: 2**16383 has 4932 of them, from 5.9486574…"""
    text = f"{sf.binary128(2**16383):.0f}"
    assert (4932, "59486574") == (len(text), text[:8])
    assert text + ".00" == f"{sf.binary128(2**16383):.2f}"
    assert 16_494 == len(f"{sf.binary128.from_bits(1):.16494f}".partition(".")[2].rstrip("0"))


@given(st.floats(allow_nan=False, allow_infinity=False), st.integers(300, 1500), st.sampled_from("efgEFG%"))
@example(5e-324, 1074, "f")
@example(5e-324, 1073, "f")
@example(5e-324, 751, "e")
@example(5e-324, 750, "e")
@example(0.0, 2000, "f")
def test_beyond_the_last_decimal_there_are_zeros(host: float, precision: int, kind: str) -> None:
    """Where more digits are asked for than a number has, they are Python's: its own digits, and zeros."""
    specification = f"#.{precision}{kind}"
    assume(kind != "%" or (math.isfinite(100 * host) and 100 * Fraction(host) == Fraction(100 * host)))
    assert format(host, specification) == format(sf.binary64(host), specification)


@pytest.mark.parametrize(
    ("start", "zeros", "end", "specification"),
    [
        ("2.5", -1, "e-01", ".{}e"),
        ("0.25", -2, "", ".{}f"),
        ("0.25", -2, "", "#.{}g"),
        ("25.", 0, "%", ".{}%"),
        ("0x1.", 0, "p-2", ".{}a"),
    ],
)
def test_millions_of_zeros_are_only_written(start: str, zeros: int, end: str, specification: str) -> None:
    """Ten million digits of a short number are its own, and zeros, which nothing has to compute."""
    text = format(sf.binary32(0.25), specification.format(10_000_000))
    assert start + "0" * (10_000_000 + zeros) + end == text


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
@given(specifications(["", "e", "F", "g", "%"]))
def test_infinities_and_nans_are_filled_as_python_s(value: float, specification: str) -> None:
    """Precision and groups do not matter to what is no number."""
    assert format(value, specification) == format(sf.binary32(value), specification)


def test_negative_nans_keep_their_sign() -> None:
    """As in str(), which differs from Python's floats."""
    number = sf.binary32.from_bits(0xFFC00000)
    assert ("-nan", " -NAN") == (str(number), f"{number:5E}")


@pytest.mark.parametrize(
    ("place", "expected", "specification"),
    [
        (0, "one of the types e E f F g G % a A, or the end,", "n"),
        (0, "one of the types e E f F g G % a A, or the end,", "d"),
        (2, "one of the types e E f F g G % a A, or the end,", "10s"),
        (1, "digits after the point", "8.f"),
        (3, "nothing after its type", ".3ee"),
        (1, "one of the types e E f F g G % a A, or the end,", ",_"),
        (1, "a precision of 2147483647 or less", ".2147483648f"),
        (3, "a precision of 2147483647 or less", "30." + 5000 * "9"),
        (1, "a width of 2147483647 or less", "+" + 5000 * "9" + ".3e"),
    ],
)
def test_wrong_specifications_are_pointed_at(place: int, expected: str, specification: str) -> None:
    """The error says at which character a specification stops being one, and is a ValueError as Python's."""
    with pytest.raises(ValueError, match=r"^a format specification needs ") as caught:
        format(sf.binary32(1.5), specification)
    assert isinstance(caught.value, sf.TextError)
    assert (place, expected) == (caught.value.place, caught.value.expected)


def test_hexadecimal_digits_have_no_groups() -> None:
    """Separators of thousands are refused beside a hexadecimal significand."""
    with pytest.raises(
        sf.TextError, match=r"^a hexadecimal format specification needs digits without groups"
    ):
        format(sf.binary32(1.5), "20,a")


def test_arrays_are_written_as_before() -> None:
    """An f-string of an array has the shortest texts of its elements."""
    array: Any = sf.binary32.array([0.1, 2.5])
    assert "[0.1 2.5]" == f"{array}"
