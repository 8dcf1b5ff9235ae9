"""Exponential functions less one: near 0 and -1, exact results, every set of tables, against MPFR."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.options import Options, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct, assert_exact

NAMES = ("expm1", "exp2m1", "exp10m1")
WIDE_EXPONENTS = Format("e15p2", exponent_bits=15, precision=2)


@pytest.mark.parametrize("fmt", [bfloat16, binary32, WIDE_EXPONENTS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_either_side_of_powers_of_two(name: str, fmt: Format) -> None:
    """Below and above the powers of two, where the ways to compute take turns, results are right."""
    random = Random(2)
    near_one = range(fmt.bias - 6, min(fmt.bias + 9, fmt.largest_exponent_field))
    for exponent in (1, *random.sample(range(fmt.largest_exponent_field), 8), *near_one):
        for away in (-1, 0, 1):
            magnitude = max((exponent << fmt.trailing_bits) + away, 0)
            assert_correct(name, fmt, magnitude | random.choice((0, fmt.sign_bit)))


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", NAMES)
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, arguments of either sign give the correct result."""
    random = Random(1)
    for _ in range(50):
        bits = random.randrange(2) << 31 | random.randrange(115, 134) << 23 | random.randrange(1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("base", [2, 10])
def test_whole_numbers(base: int, fmt: Format) -> None:
    """b^n - 1 is exact where the format has it, and elsewhere rounded as what is next to b^n."""
    name = f"exp{base}m1"
    p = fmt.precision
    for n in (1, 2, 3, 7, 8, 10, 11, 15, 22, 23, p - 1, p, p + 1, p + 2, p + 3, 2 * p, 4 * p):
        if base**n <= fmt.decode(fmt.largest_finite):
            assert_correct(name, fmt, fmt(n).bits)
            assert_correct(name, fmt, fmt(-n).bits)
        if base**n <= 1 << p:
            result, flags = run_plain(used(name, fmt), Rounding.TOWARD_ZERO, (fmt(n).bits,)).outcome
            assert (Fraction(base**n - 1), Flags.NONE) == (fmt.decode(result), flags)


@pytest.mark.parametrize("name", NAMES)
def test_next_to_minus_one(name: str) -> None:
    """Where the result leaves -1, it is right: from -5 to -16 in binary16."""
    for bits in range(binary16(-5.0).bits, binary16(-16.0).bits, 29):
        assert_correct(name, binary16, bits)


SPECIAL = [(0.0, 0.0), (-0.0, -0.0), (float("inf"), float("inf")), (-float("inf"), -1.0)]


@pytest.mark.parametrize(("x", "expected"), SPECIAL)
@pytest.mark.parametrize("name", NAMES)
def test_special_operands(name: str, x: float, expected: float) -> None:
    """Zeros and infinities have the exact results of clause 9.2.1 (from memory)."""
    assert_exact(name, x, expected)


@pytest.mark.parametrize("x", [2.0**-149, -(2.0**-149), 2.0**-130, -(2.0**-127)])
def test_tiny_result_underflows(x: float) -> None:
    """e^x - 1 is next to a tiny x, inexact, and signals underflow."""
    outcome = run_plain(used("expm1", binary32), Rounding.TIES_TO_EVEN, (binary32(x).bits,)).outcome

    assert (binary32(x).bits, Flags.UNDERFLOW | Flags.INEXACT) == outcome
