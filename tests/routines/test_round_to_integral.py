"""Rounding to an integer where a format ends below it."""

from __future__ import annotations

from fractions import Fraction

import pytest

import softfloat_py as sf
from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, Options
from tests.engines.running import run_plain, used

# emax is 3, so with five bits the largest number is 1.1111 (binary) × 2^3, no integer.
SHORT = Format("e3p5", exponent_bits=3, precision=5)
SATURATING = Options(saturate=True)
OVERFLOWED = Flags.OVERFLOW | Flags.INEXACT
INTEGRAL = [name for name in OPERATIONS if name.startswith("round_to_integral")]


def test_the_largest_number_is_no_integer() -> None:
    """15.5 lies between 15 and 16, and is the end of the format."""
    assert Fraction(31, 2) == SHORT.decode(SHORT.largest_finite)


@pytest.mark.parametrize("name", ["round_to_integral_ties_to_even", "round_to_integral_toward_positive"])
def test_what_rounds_beyond_the_end_overflows(name: str) -> None:
    """15.5 rounds to 16, which overflows to infinity, or stays where the options saturate."""
    assert (SHORT.infinity, OVERFLOWED) == outcome(name, SHORT.largest_finite)
    assert (SHORT.largest_finite, OVERFLOWED) == outcome(name, SHORT.largest_finite, SATURATING)


def test_what_rounds_inward_does_not_overflow() -> None:
    """15.5 without its fraction is 15, exactly."""
    result, flags = outcome("round_to_integral_toward_zero", SHORT.largest_finite)

    assert (Fraction(15), Flags.NONE) == (SHORT.decode(result), flags)


@pytest.mark.parametrize("name", INTEGRAL)
def test_the_documentation_says_so(name: str) -> None:
    """Who reads what an operation signals learns of the overflow."""
    assert "overflow" in (getattr(sf, name).__doc__ or "")


def outcome(name: str, bits: int, options: Options = COMPLETE) -> tuple[int, Flags]:
    """Encoding and flags of one operation."""
    result, flags = run_plain(used(name, SHORT, options), Rounding.TIES_TO_EVEN, (bits,)).outcome
    assert isinstance(result, int)
    return result, flags
