"""Angles of points: all quadrants, tiny quotients that are exact or just not, axes, diagonals."""

from __future__ import annotations

from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.options import Options, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct

NAMES = ("atan2", "atan2_pi")
INFINITY = float("inf")


def number(fmt: Format, random: Random, exponent: int) -> int:
    """An encoding with a biased exponent, brought into the range, of either sign."""
    exponent = min(max(exponent, 0), fmt.largest_exponent_field - 1)
    trailing = random.choice((0, 1, fmt.leading_one - 1, random.randrange(fmt.leading_one)))
    return random.choice((0, fmt.sign_bit)) | exponent << fmt.trailing_bits | trailing


@pytest.mark.parametrize("fmt", [binary16, bfloat16, binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_ratios_of_all_sizes(name: str, fmt: Format) -> None:
    """Points anywhere, with ratios from 1 down to less than a precision below, have the correct angle."""
    random = Random(4)
    p = fmt.precision
    for apart in (*range(6), *range(p - 1, p + 5), 2 * p, 4 * p):
        exponent = random.randrange(fmt.largest_exponent_field)
        y, x = number(fmt, random, exponent), number(fmt, random, exponent - apart)
        assert_correct(name, fmt, y, x)
        assert_correct(name, fmt, x & ~fmt.sign_bit, y)


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", NAMES)
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, angles are correct."""
    random = Random(5)
    for apart in (0, 1, 3, 4, 9, 30):
        for _ in range(4):
            y, x = number(binary32, random, 127), number(binary32, random, 127 - apart)
            assert_correct(name, binary32, y, x, options=Options(tables=tables))
            assert_correct(name, binary32, x, y, options=Options(tables=tables))


@pytest.mark.parametrize("y", [3.0, 1.0, 1.0 + 2.0**-23])
@pytest.mark.parametrize("x", [1.0, 3.0, 1.5, 1.0 + 2.0**-23])
def test_tiny_quotients(y: float, x: float) -> None:
    """The angle is just below a tiny quotient, exact or not, down to subnormal results and to none."""
    for exponent in (20, 25, 26, 60, 126, 127, 140, 148, 149, 152):
        size = binary32(2.0**-exponent)
        assert_correct("atan2", binary32, (binary32(y) * size).bits, binary32(x).bits)


ON_AXES = [(0.0, 1.0, 0), (0.0, 0.0, 0), (1.0, INFINITY, 0), (1.0, 0.0, 2), (INFINITY, 1.0, 2)]
ON_DIAGONALS = [(INFINITY, INFINITY, 1), (3.0, 3.0, 1)]


@pytest.mark.parametrize(("y", "x", "quarters"), ON_AXES + ON_DIAGONALS)
@pytest.mark.parametrize(("above", "back"), [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)])
def test_quarters(y: float, x: float, quarters: int, above: float, back: float) -> None:
    """On axes and diagonals the part of pi is exact (clause 9.2.1, from memory)."""
    expected = above * (quarters if back > 0 else 4 - quarters) / 4
    for rounding in Rounding:
        operands = (binary64(above * y).bits, binary64(back * x).bits)
        outcome = run_plain(used("atan2_pi", binary64), rounding, operands).outcome

        assert (binary64(expected).bits, Flags.NONE) == outcome
