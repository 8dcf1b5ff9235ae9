"""Functions of half turns: exact results, the table of clause 9.2.1, numbers of all sizes, all tables."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64, ofp8_e4m3
from softfloat_py.options import Options, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct, assert_exact

NAMES = ("sin_pi", "cos_pi", "tan_pi")
WIDE_EXPONENTS = Format("e15p2", exponent_bits=15, precision=2)
NARROW_EXPONENTS = Format("e2p24", exponent_bits=2, precision=24)
INFINITY = float("inf")


# From memory: n even and odd, of either sign, and 1/2 beyond; NaN where there is no such line.
TABLE = [
    # x, sin_pi, cos_pi, tan_pi
    (0.0, 0.0, 1.0, 0.0),
    (-0.0, -0.0, 1.0, -0.0),
    (1.0, 0.0, -1.0, -0.0),
    (-1.0, -0.0, -1.0, 0.0),
    (2.0, 0.0, 1.0, 0.0),
    (-2.0, -0.0, 1.0, -0.0),
    (3.0, 0.0, -1.0, -0.0),
    (-7.0, -0.0, -1.0, 0.0),
    (2.0**52 + 1, 0.0, -1.0, -0.0),
    (-(2.0**53), -0.0, 1.0, -0.0),
    (2.0**1000, 0.0, 1.0, 0.0),
    (0.5, 1.0, 0.0, INFINITY),
    (-0.5, -1.0, 0.0, -INFINITY),
    (1.5, -1.0, 0.0, -INFINITY),
    (-1.5, 1.0, 0.0, INFINITY),
    (2.0**51 + 0.5, 1.0, 0.0, INFINITY),
    (-(2.0**51) - 1.5, 1.0, 0.0, INFINITY),
]


@pytest.mark.parametrize(("x", "sine", "cosine", "tangent"), TABLE)
def test_whole_numbers_of_right_angles(x: float, sine: float, cosine: float, tangent: float) -> None:
    """Zeros, ones and infinities come out as clause 9.2.1 has them, exactly, in every direction."""
    for name, expected in zip(NAMES, (sine, cosine, tangent), strict=True):
        flags = Flags.DIVISION_BY_ZERO if abs(expected) == INFINITY else Flags.NONE
        assert_exact(name, x, expected, flags)


@pytest.mark.parametrize("name", NAMES)
def test_infinities_are_invalid(name: str) -> None:
    """Infinities have no angle."""
    for x in (INFINITY, -INFINITY):
        outcome = run_plain(used(name, binary32), Rounding.TIES_TO_EVEN, (binary32(x).bits,)).outcome

        assert (binary32.quiet_nan, Flags.INVALID_OPERATION) == outcome


def test_tangent_without_infinity() -> None:
    """Where a format has no infinity, a division by zero delivers its NaN."""
    outcome = run_plain(used("tan_pi", ofp8_e4m3), Rounding.TOWARD_ZERO, (ofp8_e4m3(0.5).bits,)).outcome

    assert (ofp8_e4m3.quiet_nan, Flags.DIVISION_BY_ZERO) == outcome


@pytest.mark.parametrize("x", [Fraction(n, 4) for n in (1, 3, 5, 7, -1, -3, 4001, -4003)])
def test_tangent_of_half_a_right_angle(x: Fraction) -> None:
    """It is 1, or -1 if the quadrant is an odd one, exactly."""
    expected = 1 if x % 1 == Fraction(1, 4) else -1
    outcome = run_plain(
        used("tan_pi", binary32), Rounding.TOWARD_NEGATIVE, (binary32(float(x)).bits,)
    ).outcome

    assert (binary32(expected).bits, Flags.NONE) == outcome


@pytest.mark.parametrize(
    "fmt",
    [binary16, bfloat16, binary32, binary64, WIDE_EXPONENTS, NARROW_EXPONENTS],
    ids=lambda fmt: fmt.name,
)
@pytest.mark.parametrize("name", NAMES)
def test_numbers_of_all_sizes(name: str, fmt: Format) -> None:
    """From subnormal numbers to where all are whole, results are right, underflow included."""
    random = Random(5)
    fields = range(min(fmt.largest_exponent_field, fmt.bias + fmt.precision + 2))
    for exponent in random.sample(fields, min(len(fields), 30)):
        bits = exponent << fmt.trailing_bits | random.randrange(fmt.leading_one)
        assert_correct(name, fmt, bits | random.choice((0, fmt.sign_bit)))


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_next_to_multiples_of_half_a_right_angle(name: str, fmt: Format) -> None:
    """Next to a zero, a one or a pole, and next to where a tangent is 1, results are right."""
    for quarters in (*range(1, 10), 33, 1000):
        bits = fmt(quarters / 4).bits
        for away in (-1, 1):
            assert_correct(name, fmt, bits + away)
            assert_correct(name, fmt, bits + away | fmt.sign_bit)


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", NAMES)
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, arguments of all sizes give the correct result."""
    random = Random(1)
    for exponent in (*range(86, 140, 3), 1, 40, 150):
        bits = exponent << 23 | random.randrange(1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))
