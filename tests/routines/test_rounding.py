"""Rounding: triplets just below, at and just above half a unit, written in base 2."""

from __future__ import annotations

import pytest

from softfloat_py.engines import direct
from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits
from softfloat_py.routines.rounding import round_to_format, rounded_up_or_down, shift_right_sticky

EVEN, AWAY, UP, DOWN, ZERO = Rounding

# A magnitude of three bits and its extra bits; then what it becomes in each direction if it is positive. The
# last extra bit is sticky: it stands for anything further down.
TRIPLETS = {
    #            even    away    up      down    zero
    "100|00":  ("100",  "100",  "100",  "100",  "100"),
    "100|01":  ("100",  "100",  "101",  "100",  "100"),
    "100|10":  ("100",  "101",  "101",  "100",  "100"),
    "100|11":  ("101",  "101",  "101",  "100",  "100"),
    "101|00":  ("101",  "101",  "101",  "101",  "101"),
    "101|01":  ("101",  "101",  "110",  "101",  "101"),
    "101|10":  ("110",  "110",  "110",  "101",  "101"),
    "101|11":  ("110",  "110",  "110",  "101",  "101"),
    "111|01":  ("111",  "111",  "1000", "111",  "111"),
    "111|10":  ("1000", "1000", "1000", "111",  "111"),
    "111|11":  ("1000", "1000", "1000", "111",  "111"),
    # More extra bits: below half down to the last, and above half up to it.
    "100|000": ("100",  "100",  "100",  "100",  "100"),
    "100|011": ("100",  "100",  "101",  "100",  "100"),
    "100|100": ("100",  "101",  "101",  "100",  "100"),
    "100|101": ("101",  "101",  "101",  "100",  "100"),
    "101|011": ("101",  "101",  "110",  "101",  "101"),
    "101|100": ("110",  "110",  "110",  "101",  "101"),
    "101|101": ("110",  "110",  "110",  "101",  "101"),
}  # fmt: skip

# For a negative number, the two directions along the number line change places.
MIRRORED = {EVEN: EVEN, AWAY: AWAY, UP: DOWN, DOWN: UP, ZERO: ZERO}


@pytest.mark.parametrize("negative", [False, True])
@pytest.mark.parametrize("rounding", Rounding, ids=lambda rounding: rounding.name)
@pytest.mark.parametrize("magnitude", TRIPLETS)
def test_extra_bits_decide(magnitude: str, rounding: Rounding, negative: bool) -> None:
    """Below, at and above half a unit, each direction keeps the magnitude or makes it grow by one."""
    column = MIRRORED[rounding] if negative else rounding
    kept, extra = magnitude.split("|")
    (rounded,), _ = direct.run(
        rounded_up_or_down,
        {
            "significand": (int(kept + extra, 2), len(kept + extra)),
            "sign": (int(negative), 1),
            "direction": (rounding, 3),
        },
        {"extra": len(extra)},
    )

    assert TRIPLETS[magnitude][column] == f"{rounded:b}"


@pytest.mark.parametrize("distance", range(6))
def test_sticky_bit_tells_whether_anything_was_lost(distance: int) -> None:
    """Shifted right, a number has its lowest bit set if that was set, or anything below it."""
    for value in range(1 << 6):
        lost = value % (1 << distance) != 0
        shifted = shift_right_sticky(Bits(value, 6), Bits(distance, 3))

        assert (value >> distance | lost, 6) == (shifted.value, shifted.width)


@pytest.mark.parametrize("distance", range(5))
def test_sticky_bit_may_be_added_and_subtracted(distance: int) -> None:
    """Beside an even number, sum and difference have all higher bits of the exact ones, and are odd exactly
    where these have anything below.
    """
    for even in range(32, 64, 2):
        for value in range(1 << 5):
            shifted = shift_right_sticky(Bits(value, 5), Bits(distance, 3))
            exact = even << distance
            for found, wanted in ((even + shifted, exact + value), (even - shifted, exact - value)):
                higher, rest = divmod(wanted, 2 << distance)

                assert higher << 1 | (rest != 0) == found.value


# -- the edge of the normal range ----------------------------------------------------------------------------

TINY = Format("e4p4", exponent_bits=4, precision=4)
INEXACT, UNDERFLOW = Flags.INEXACT, Flags.UNDERFLOW | Flags.INEXACT
SMALLEST_NORMAL = "0|0001|000"
LARGEST_SUBNORMAL = "0|0000|111"
INFINITY = "0|1111|000"
LARGEST = "0|1110|111"


def rounded(significand: str, exponent: int, rounding: Rounding) -> tuple[str, Flags]:
    """Round 1.xxx|yyy × 2^exponent; the encoding in parts of sign, exponent and trailing significand."""
    digits = significand.replace(".", "").replace("|", "")
    width = signed_exponent_bits(TINY)
    (bits,), flags = direct.run(
        round_to_format,
        {
            "sign": (0, 1),
            "exponent_less_one": ((exponent + TINY.bias - 1) % (1 << width), width),
            "significand": (int(digits, 2), len(digits)),
            "direction": (rounding, 3),
        },
        {"fmt": TINY, "options": COMPLETE},
    )
    text = f"{bits:08b}"
    return f"{text[0]}|{text[1:5]}|{text[5:]}", flags


# Just below 2^emin = 2^-6: what it rounds to, and whether it was tiny. A number that becomes 2^-6 rounded
# to four bits is not tiny, whatever the fewer bits of a subnormal number make of it (clause 7.5, a).
AT_THE_EDGE = [
    ("1.111|011", EVEN, SMALLEST_NORMAL, UNDERFLOW),
    ("1.111|100", EVEN, SMALLEST_NORMAL, INEXACT),
    ("1.111|101", EVEN, SMALLEST_NORMAL, INEXACT),
    ("1.111|011", AWAY, SMALLEST_NORMAL, UNDERFLOW),
    ("1.111|100", AWAY, SMALLEST_NORMAL, INEXACT),
    ("1.111|001", UP, SMALLEST_NORMAL, INEXACT),
    ("1.111|000", UP, SMALLEST_NORMAL, UNDERFLOW),
    ("1.111|111", DOWN, LARGEST_SUBNORMAL, UNDERFLOW),
    ("1.111|111", ZERO, LARGEST_SUBNORMAL, UNDERFLOW),
    ("1.110|111", EVEN, LARGEST_SUBNORMAL, UNDERFLOW),
    ("1.110|000", EVEN, LARGEST_SUBNORMAL, Flags.NONE),
]


@pytest.mark.parametrize(("significand", "rounding", "encoding", "flags"), AT_THE_EDGE)
def test_underflow_is_judged_after_rounding(
    significand: str, rounding: Rounding, encoding: str, flags: Flags
) -> None:
    """Next to the smallest normal number, underflow depends on the result with an unbounded exponent."""
    assert (encoding, flags) == rounded(significand, TINY.emin - 1, rounding)


# Far below the normal range, all that is left is where zero and the smallest subnormal number, 2^-9, meet.
FAR_BELOW = [
    ("1.000|000", -9, EVEN, "0|0000|001", Flags.NONE),
    ("1.000|001", -10, EVEN, "0|0000|001", UNDERFLOW),
    ("1.000|000", -10, EVEN, "0|0000|000", UNDERFLOW),
    ("1.111|111", -11, EVEN, "0|0000|000", UNDERFLOW),
    ("1.000|000", -10, AWAY, "0|0000|001", UNDERFLOW),
    ("1.111|111", -11, AWAY, "0|0000|000", UNDERFLOW),
    ("1.000|000", -25, UP, "0|0000|001", UNDERFLOW),
    ("1.111|111", -10, DOWN, "0|0000|000", UNDERFLOW),
]


@pytest.mark.parametrize(("significand", "exponent", "rounding", "encoding", "flags"), FAR_BELOW)
def test_smallest_results_are_rounded_once(
    significand: str, exponent: int, rounding: Rounding, encoding: str, flags: Flags
) -> None:
    """At half the smallest subnormal number, just below and just above, the direction decides."""
    assert (encoding, flags) == rounded(significand, exponent, rounding)


# The largest number is 1.111 × 2^7; half a unit above it is what overflows to nearest (clause 7.4).
ABOVE = [
    ("1.111|011", 7, EVEN, LARGEST, INEXACT),
    ("1.111|100", 7, EVEN, INFINITY, Flags.OVERFLOW | INEXACT),
    ("1.111|100", 7, AWAY, INFINITY, Flags.OVERFLOW | INEXACT),
    ("1.111|111", 7, DOWN, LARGEST, INEXACT),
    ("1.111|111", 7, ZERO, LARGEST, INEXACT),
    ("1.000|000", 8, DOWN, LARGEST, Flags.OVERFLOW | INEXACT),
    ("1.000|000", 8, ZERO, LARGEST, Flags.OVERFLOW | INEXACT),
    ("1.000|000", 8, UP, INFINITY, Flags.OVERFLOW | INEXACT),
    ("1.000|000", 20, EVEN, INFINITY, Flags.OVERFLOW | INEXACT),
]


@pytest.mark.parametrize(("significand", "exponent", "rounding", "encoding", "flags"), ABOVE)
def test_overflow_begins_where_the_direction_puts_it(
    significand: str, exponent: int, rounding: Rounding, encoding: str, flags: Flags
) -> None:
    """Beyond the largest number, the direction chooses between it and infinity."""
    assert (encoding, flags) == rounded(significand, exponent, rounding)
