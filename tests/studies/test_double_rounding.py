"""Conversions in steps beside direct ones: where they differ, where they cannot, and how that is told."""

from __future__ import annotations

import operator
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import softfloat_py as sf
from softfloat_py import binary16, binary32, binary64
from tests import strategies

DIRECTED = (sf.Rounding.TOWARD_POSITIVE, sf.Rounding.TOWARD_NEGATIVE, sf.Rounding.TOWARD_ZERO)
# Just above the middle between 1 and the next binary16 number; the excess is too small for binary32.
ABOVE_A_MIDDLE = 1 + Fraction(1, 2**11) + Fraction(1, 2**40)
NARROW = sf.Format("narrow", exponent_bits=3, precision=3)
# 2p + 2 bits of precision.
WIDE = sf.Format("wide", exponent_bits=8, precision=8)


@pytest.mark.parametrize(("side", "odd"), [(1, 0), (-1, 1)])
def test_every_middle_of_a_binade_is_met(side: int, odd: int) -> None:
    """Just above a middle, ties to even goes the wrong way where the number below is even, just below it
    where that is odd: half of the 1024 middles from 1 to 2, each by one unit.
    """
    one = binary16(1).bits
    different = []
    for bits in range(one, one + 1024):
        middle = binary16.decode(bits) + Fraction(1, 2**11)
        steps = sf.convert_in_steps(binary64(middle + Fraction(side, 2**40)), binary32, binary16)
        assert (-side if steps.differs else 0) == steps.units_apart
        if steps.differs:
            different.append(bits)
    assert list(range(one + odd, one + 1024, 2)) == different


def test_parts_of_the_result() -> None:
    """Each step has its operand, its result, its flags, and its error in units of the result's last place."""
    steps = sf.convert_in_steps(binary64(ABOVE_A_MIDDLE), binary32, binary16)
    first, second = steps.steps
    assert (0x3F801000, 0x3C00, 0x3C01) == (first.result.bits, second.result.bits, steps.direct.result.bits)
    # 2**-40 in units of 2**-23; half a unit of 2**-10; 2**-40 less than that.
    assert (-Fraction(1, 2**17), Fraction(-1, 2)) == (first.error, second.error)
    assert Fraction(1, 2) - Fraction(1, 2**30) == steps.direct.error
    assert {sf.Flags.INEXACT} == {first.flags, second.flags, steps.direct.flags}
    assert (True, -1, 0x3C00) == (steps.differs, steps.units_apart, steps.result.bits)


@pytest.mark.parametrize("rounding", DIRECTED)
@given(strategies.encodings(binary64))
def test_directed_roundings_may_be_repeated(rounding: sf.Rounding, bits: int) -> None:
    """Rounded up, down or toward zero, any number takes the same end in steps as directly."""
    with sf.environment(rounding=rounding):
        assert not sf.convert_in_steps(binary64.from_bits(bits), binary32, binary16).differs


@pytest.mark.parametrize("function", [operator.add, operator.sub, operator.mul, operator.truediv])
def test_figueroa_s_theorem_is_about_operations(function: Callable[[Any, Any], Any]) -> None:
    """For all pairs of numbers of 3 bits, rounding a result to 2 × 3 + 2 bits on the way changes nothing."""
    numbers = [NARROW.from_bits(bits) for bits in range(1 << NARROW.width) if NARROW.is_finite(bits)]
    for x in numbers:
        wide_x = sf.convert_format(x, WIDE)
        for y in numbers:
            in_steps = sf.convert_format(function(wide_x, sf.convert_format(y, WIDE)), NARROW)
            assert function(x, y).bits == in_steps.bits


def test_the_theorem_is_not_about_conversions() -> None:
    """With the same two formats, a number of more bits can be rounded wrongly in two steps."""
    assert sf.convert_in_steps(binary64(1 + Fraction(1, 8) + Fraction(1, 2**20)), WIDE, NARROW).differs


@given(st.data())
def test_what_every_format_holds_never_differs(data: st.DataObject) -> None:
    """A binary16 number goes through wider formats unharmed, infinities and NaNs too."""
    number = binary16.from_bits(data.draw(strategies.encodings(binary16)))
    assert not sf.convert_in_steps(number, binary64, sf.binary128, sf.extended80, binary16).differs


def test_units_are_counted_across_zero_and_to_infinity() -> None:
    """Infinity comes after the largest number. 65520 - 2**-20 is below the middle, and 65520 in binary32."""
    value = 65520 - Fraction(1, 2**20)
    assert 1 == sf.convert_in_steps(binary64(value), binary32, binary16).units_apart
    assert -1 == sf.convert_in_steps(binary64(-value), binary32, binary16).units_apart
    assert sf.convert_in_steps(binary64(value), binary32, binary16).steps[1].error is None


def test_steps_leave_nothing_behind() -> None:
    """Neither counts nor flags; the direction and the options of the environment hold."""
    with sf.counting() as tally, sf.environment(options=sf.LEAN) as env:
        steps = sf.convert_in_steps(binary64(ABOVE_A_MIDDLE), binary32, binary16)
        binary32(1) + 1
    assert ({("addition", "binary32"): 1}, sf.Flags.NONE) == (tally.calls, env.flags)
    assert sf.Flags.INEXACT == steps.direct.flags


def test_text() -> None:
    """The text shows every step, what it rounded, and says how the difference came about."""
    assert str(sf.convert_in_steps(binary64(ABOVE_A_MIDDLE), binary32, binary16)).splitlines() == [
        "1.0004882812509095 of binary64, rounded to the nearest, ties to even",
        "                        result     rounded by, in units of its last place",
        "  to binary32           1.0004883  -7.63e-06",
        "  to binary16           1.0        -1/2, a tie",
        "  directly to binary16  1.001      +1/2 less 9.3e-10",
        "The steps end 1 unit in the last place of binary16 below the direct result.",
        "The step to binary32 moved the value onto the middle between two numbers of binary16; "
        "the last step then broke a tie that was none.",
    ]


@pytest.mark.parametrize(
    ("expected", "value", "formats", "rounding"),
    [
        ("Fewer than two of the steps rounded anything.", 1.5, (binary32, binary16), "TIES_TO_EVEN"),
        ("Rounding twice in one direction is as good as once.", 1.1, (binary32, binary16), "TOWARD_ZERO"),
        (
            "That is so for this value; another one may be rounded onto the middle between two numbers.",
            1.1, (binary32, binary16), "TIES_TO_AWAY",
        ),
        ("A step before the last had rounded away what decides in binary16.", 1.3, (sf.bfloat16, binary16),
         "TIES_TO_EVEN"),
        ("  to binary16           inf     overflow", 1e30, (binary32, binary16), "TIES_TO_EVEN"),
        ("  to binary32           1.0     -1/2 less 6e-08", 1 + 2**-24 - 2**-47, (binary32, binary16),
         "TIES_TO_EVEN"),
        ("  to binary32           1.0000001  +1/2 less 6e-08", 1 + 2**-24 + 2**-47, (binary32, binary16),
         "TIES_TO_EVEN"),
        ("  to binary32           1.0     -1/2 and 6e-08", 1 + 2**-24 + 2**-47, (binary32, binary16),
         "TOWARD_ZERO"),
        ("  to binary16           inf", float("inf"), (binary32, binary16), "TIES_TO_EVEN"),
    ],
)  # fmt: skip
def test_text_says_why(expected: str, value: float, formats: tuple[sf.Format, ...], rounding: str) -> None:
    """Lines of other outcomes: nothing rounded, a safe direction, luck, a narrow step, an overflow."""
    with sf.environment(rounding=sf.Rounding[rounding]):
        assert expected in str(sf.convert_in_steps(binary64(value), *formats)).splitlines()


def test_html_has_the_same_words() -> None:
    """A notebook shows a table and the sentences."""
    html = sf.convert_in_steps(binary64(ABOVE_A_MIDDLE), binary32, binary16)._repr_html_()
    assert html.startswith("<div><p><b>1.0004882812509095 of binary64,")
    assert 1 == html.count("<table>")
    assert "<p>The steps end 1 unit in the last place of binary16 below the direct result.</p>" in html


@pytest.mark.parametrize(
    ("message", "x", "formats"),
    [
        ("convert_in_steps needs a Number, not 1.5", 1.5, (binary32, binary16)),
        ("convert_in_steps needs two formats or more, not binary16", binary64(1), (binary16,)),
        ("convert_in_steps needs two formats or more, not none", binary64(1), ()),
        (
            "convert_in_steps needs two formats or more, not binary16, 'binary32'",
            binary64(1),
            (binary16, "binary32"),
        ),
    ],
)
def test_refusals(message: str, x: Any, formats: tuple[Any, ...]) -> None:
    """Anything but a Number and two formats is refused."""
    with pytest.raises(sf.OperandError) as caught:
        sf.convert_in_steps(x, *formats)
    assert message == str(caught.value)
