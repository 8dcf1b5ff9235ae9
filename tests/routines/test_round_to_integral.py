"""Rounding to an integer: in the width of the encoding, and where a format ends below the integer."""

from __future__ import annotations

from fractions import Fraction

import pytest

import softfloat_py as sf
from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from tests.engines.drawing import FLUSHED, NO_SPECIALS
from tests.engines.running import reference, run_plain, run_stepwise, used

# emax is 3, so with five bits the largest number is 1.1111 (binary) × 2^3, no integer.
SHORT = Format("e3p5", exponent_bits=3, precision=5)
WITHOUT_INFINITY = Format("e3p5 without infinity", exponent_bits=3, precision=5, has_infinity=False)
E2P3 = Format("e2p3", exponent_bits=2, precision=3)
E4P4 = Format("e4p4", exponent_bits=4, precision=4)
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


@pytest.mark.parametrize("options", [COMPLETE, FLUSHED, NO_SPECIALS], ids=lambda options: options.name)
@pytest.mark.parametrize("fmt", [SHORT, WITHOUT_INFINITY, E2P3, E4P4], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", INTEGRAL)
def test_every_operand_is_rounded_correctly(name: str, fmt: Format, options: Options) -> None:
    """In every direction, results and flags of all encodings are those of rational arithmetic."""
    use = used(name, fmt, options)
    for rounding in Rounding if use.takes_direction else [Rounding.TIES_TO_EVEN]:
        for bits in range(1 << fmt.width):
            if options.special or fmt.is_finite(bits):
                expected = reference(use, rounding, (bits,))
                assert expected == run_plain(use, rounding, (bits,)).outcome, (rounding, bits)


@pytest.mark.parametrize("options", [COMPLETE, LEAN], ids=lambda options: options.name)
@pytest.mark.parametrize("name", INTEGRAL)
def test_nothing_is_wider_than_the_encoding(name: str, options: Options) -> None:
    """In binary32, no step needs more than 32 bits."""
    steps = used(name, binary32, options).program.body.all_steps()

    assert 32 >= max(operand.width for step in steps for operand in (step.target, *step.operands))


def test_steps_of_one_rounding() -> None:
    """2.75 becomes 3 in 24 steps where nothing but the result is asked for."""
    by_hand = (
        3  # the exponent field: a shift, a mask loaded and applied
        + 3  # the first exponent without a fraction loaded; whether it is reached; a branch, not taken
        + 3  # the exponent of 1 loaded; whether it is missed; a branch, not taken
        + 2  # that exponent loaded, and taken away
        + 2  # the bits of a fraction of 1 loaded, and shifted right
        + 2  # half a unit: all bits of the fraction but those of its lower half
        + 1  # half a unit added
        + 4  # whether that leaves no fraction: a mask applied, zero loaded, a comparison, a branch past it
        + 2  # all bits but the fraction, and these alone
        + 2  # call and return
    )
    counts = run_stepwise(
        used("round_to_integral_ties_to_even", binary32, LEAN), Rounding.TIES_TO_EVEN, (0x40300000,)
    ).counts

    assert counts is not None
    assert by_hand == counts.total()


def outcome(name: str, bits: int, options: Options = COMPLETE) -> tuple[int, Flags]:
    """Encoding and flags of one operation."""
    result, flags = run_plain(used(name, SHORT, options), Rounding.TIES_TO_EVEN, (bits,)).outcome
    assert isinstance(result, int)
    return result, flags
