"""Python numbers become the nearest encodings, in every direction."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import softfloat_py as sf
from softfloat_py.numbers.encoding import encode
from tests import strategies

UP, DOWN, ZERO = sf.Rounding.TOWARD_POSITIVE, sf.Rounding.TOWARD_NEGATIVE, sf.Rounding.TOWARD_ZERO


@given(st.floats(allow_nan=False), strategies.formats())
def test_directions_enclose_the_value(value: float, fmt: sf.Format) -> None:
    """Rounded down, the value is not larger, rounded up not smaller, and no number lies between the two."""
    below, above = (fmt.from_bits(encode(fmt, value, direction)[0]) for direction in (DOWN, UP))
    assert float(below) <= value <= float(above)
    assert float(below) == value or below.bits != above.bits
    nearest = fmt.from_bits(encode(fmt, value, sf.Rounding.TIES_TO_EVEN)[0])
    assert nearest.bits in (below.bits, above.bits)


@pytest.mark.filterwarnings("ignore:overflow")
@given(st.floats())
def test_host_formats_are_the_host_s_conversions(value: float) -> None:
    """To binary32 and binary16, a double is rounded as numpy's cast rounds it."""
    if math.isnan(value):
        assert (sf.binary32.quiet_nan, sf.Flags.NONE) == encode(sf.binary32, value)
        return
    with np.errstate(all="ignore"):
        assert np.float32(value).view(np.uint32) == encode(sf.binary32, value)[0]
        assert np.float16(value).view(np.uint16) == encode(sf.binary16, value)[0]


@given(st.integers(-(10**60), 10**60))
def test_integers_are_exact_before_they_are_rounded(value: int) -> None:
    """A Python int of any length is rounded once."""
    assert float(value) == float(sf.binary64(value))


@pytest.mark.parametrize(
    ("expected", "flags", "value"),
    [
        (0x3DCCCCCD, sf.Flags.INEXACT, 0.1),
        (0x80000000, sf.Flags.NONE, -0.0),
        (0x00000000, sf.Flags.NONE, 0),
        (0x7F800000, sf.Flags.OVERFLOW | sf.Flags.INEXACT, 10**400),
        (0x80000000, sf.Flags.UNDERFLOW | sf.Flags.INEXACT, Fraction(-1, 10**500)),
        (0xFF800000, sf.Flags.NONE, -math.inf),
        (0x5F800000, sf.Flags.INEXACT, np.uint64(2**64 - 1)),
        (0x3F800000, sf.Flags.NONE, np.longdouble(1)),
    ],
)
def test_flags_tell_what_rounding_did(expected: int, flags: sf.Flags, value: Any) -> None:
    """Encoding a value outside the format gives the standard's default result and its flags."""
    assert (expected, flags) == encode(sf.binary32, value)


def test_given_rounding_is_used() -> None:
    """`rounding` overrides the environment, whose direction is the default."""
    with sf.environment(rounding=UP):
        assert 1 == encode(sf.binary16, Fraction(1, 10**9))[0]
        assert 0 == encode(sf.binary16, Fraction(1, 10**9), ZERO)[0]


@pytest.mark.parametrize("value", [None, np.array(1.0), np.True_, object])
def test_what_is_no_number_is_refused(value: Any) -> None:
    """Anything but a real number raises an OperandError, with the format's name."""
    with pytest.raises(
        sf.OperandError, match=r"^a constant of binary32 needs an int, a float or a Fraction, not "
    ):
        sf.binary32(value)
    with pytest.raises(sf.MixedFormatsError, match=r"^a constant needs operands of one format"):
        sf.binary32(sf.binary16(1))


def test_a_number_of_the_format_is_taken_as_it_is() -> None:
    """Calling a format with one of its numbers gives that number."""
    number = sf.binary32(1.5)
    assert sf.binary32(number) is number
