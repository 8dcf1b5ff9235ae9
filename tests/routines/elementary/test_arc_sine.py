"""Arc sines and cosines: next to 0, 1 and the diagonal, every set of tables, exact and invalid operands."""

from __future__ import annotations

from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.options import COMPLETE, Division, Options, SquareRoot, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct, assert_exact

NAMES = ("asin", "asin_pi", "acos", "acos_pi")
WIDE_EXPONENTS = Format("e15p2", exponent_bits=15, precision=2)


@pytest.mark.parametrize("fmt", [binary16, bfloat16, binary32, WIDE_EXPONENTS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_either_side_of_powers_of_two(name: str, fmt: Format) -> None:
    """Below and above the powers of two, where the ways to compute take turns, results are right."""
    random = Random(2)
    least = max(fmt.bias - (fmt.precision + 1) // 2, 1)
    near_one = range(max(fmt.bias - 8, 1), fmt.bias + 1)
    for exponent in (1, least, least + 1, *random.sample(range(fmt.bias), 8), *near_one):
        for away in (-1, 0, 1):
            magnitude = max((exponent << fmt.trailing_bits) + away, 0)
            assert_correct(name, fmt, magnitude | random.choice((0, fmt.sign_bit)))


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_next_to_one_and_to_the_diagonal(name: str, fmt: Format) -> None:
    """The numbers next to 1 on all scales, where acos is small, and those next to the root of 1/2."""
    one, diagonal = fmt.one, fmt(0.5**0.5).bits
    for away in (1, 2, 3, *(1 << k for k in range(2, fmt.precision - 1, 3))):
        assert_correct(name, fmt, one - away)
        assert_correct(name, fmt, (one - away) | fmt.sign_bit)
    for away in (-2, -1, 0, 1, 2):
        assert_correct(name, fmt, diagonal + away)


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", NAMES)
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, and roots and quotients by reciprocals, results are correct."""
    random = Random(1)
    reciprocal = Options(tables=tables, division=Division.RECIPROCAL, square_root=SquareRoot.RECIPROCAL)
    for _ in range(12):
        bits = random.randrange(2) << 31 | random.randrange(120, 127) << 23 | random.randrange(1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))
        assert_correct(name, binary32, bits, options=reciprocal)


EXACT = [
    ("asin", 0.0, 0.0), ("asin", -0.0, -0.0), ("acos", 1.0, 0.0),
    ("asin_pi", 0.0, 0.0), ("asin_pi", -0.0, -0.0), ("asin_pi", 1.0, 0.5), ("asin_pi", -1.0, -0.5),
    ("acos_pi", 1.0, 0.0), ("acos_pi", 0.0, 0.5), ("acos_pi", -0.0, 0.5), ("acos_pi", -1.0, 1.0),
]  # fmt: skip


@pytest.mark.parametrize(("name", "x", "expected"), EXACT)
def test_exact_results(name: str, x: float, expected: float) -> None:
    """What is exact by clause 9.2.1 (from memory) is so in every direction, zeros with their sign."""
    assert_exact(name, x, expected)


@pytest.mark.parametrize("x", [1.0 + 2.0**-23, -2.0, float("inf"), -float("inf")])
@pytest.mark.parametrize("name", NAMES)
def test_no_angle_beyond_one(name: str, x: float) -> None:
    """Beyond 1 the operation is invalid."""
    outcome = run_plain(used(name, binary32), Rounding.TIES_TO_EVEN, (binary32(x).bits,)).outcome

    assert (COMPLETE.default_nan(binary32), Flags.INVALID_OPERATION) == outcome


@pytest.mark.parametrize("x", [2.0**-149, -(2.0**-149), 2.0**-130, -(2.0**-127)])
def test_tiny_result_underflows(x: float) -> None:
    """asin x is next to a tiny x, inexact, and signals underflow."""
    outcome = run_plain(used("asin", binary32), Rounding.TIES_TO_EVEN, (binary32(x).bits,)).outcome

    assert (binary32(x).bits, Flags.UNDERFLOW | Flags.INEXACT) == outcome
