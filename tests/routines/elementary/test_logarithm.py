"""Logarithms: exact results, arguments next to 1, and every set of tables, against MPFR."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from softfloat_py.options import COMPLETE, Options, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct

NAMES = ("log", "log2", "log10")
WIDE_EXPONENTS = Format("e15p2", exponent_bits=15, precision=2)


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_next_to_one(name: str, fmt: Format) -> None:
    """Where the result is small, it is right to its last bit: for 1 and 2^-k more or less, and 1 itself."""
    one = fmt.one
    for place in range(0, fmt.trailing_bits, 1 + fmt.precision // 30):
        for bits in (one, one + (1 << place), one - (1 << place), one + (2 << place) - 1):
            assert_correct(name, fmt, bits)


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", NAMES)
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, all significands give the correct result."""
    random = Random(1)
    for _ in range(40):
        exponent = random.choice((0, 1, 125, 126, 127, 128, 200, 254))
        bits = exponent << 23 | random.randrange(1, 1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))


@pytest.mark.parametrize("fmt", [binary32, WIDE_EXPONENTS], ids=lambda fmt: fmt.name)
def test_powers_of_two(fmt: Format) -> None:
    """log2 of a power of two is its exponent, which only a very narrow format has to round."""
    for exponent in {fmt.emin - fmt.precision + 1, fmt.emin, -1, 0, 1, 2, 3, fmt.emax // 3, fmt.emax}:
        bits = encoding_of_power(fmt, exponent)
        assert_correct("log2", fmt, bits)


def encoding_of_power(fmt: Format, exponent: int) -> int:
    """The encoding of 2^exponent."""
    if exponent < fmt.emin:
        return 1 << (exponent - fmt.emin + fmt.trailing_bits)
    return (exponent + fmt.bias) << fmt.trailing_bits


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
def test_powers_of_ten(fmt: Format) -> None:
    """log10 of a power of ten that the format has is exact, and of no other number."""
    exponent = 1
    while Fraction(10) ** exponent <= fmt.decode(fmt.largest_finite) and 5**exponent < 1 << fmt.precision:
        bits = fmt(10**exponent).bits
        for rounding in Rounding:
            result, flags = run_plain(used("log10", fmt), rounding, (bits,)).outcome
            assert (Fraction(exponent), Flags.NONE) == (fmt.decode(result), flags)
        assert_correct("log10", fmt, bits - 1)
        assert_correct("log10", fmt, bits + 1)
        exponent += 1


SPECIAL = [
    (0.0, -float("inf"), Flags.DIVISION_BY_ZERO),
    (-0.0, -float("inf"), Flags.DIVISION_BY_ZERO),
    (1.0, 0.0, Flags.NONE),
    (float("inf"), float("inf"), Flags.NONE),
]


@pytest.mark.parametrize(("x", "expected", "flags"), SPECIAL)
@pytest.mark.parametrize("name", NAMES)
def test_special_operands(name: str, x: float, expected: float, flags: Flags) -> None:
    """Zeros, 1 and infinity have the results and flags of clause 9.2.1 (from memory)."""
    outcome = run_plain(used(name, binary64), Rounding.TOWARD_NEGATIVE, (binary64(x).bits,)).outcome

    assert (binary64(expected).bits, flags) == outcome


@pytest.mark.parametrize("x", [-1.0, -5e-324, -float("inf")])
@pytest.mark.parametrize("name", NAMES)
def test_below_zero(name: str, x: float) -> None:
    """Below zero the operation is invalid."""
    outcome = run_plain(used(name, binary64), Rounding.TIES_TO_EVEN, (binary64(x).bits,)).outcome

    assert (COMPLETE.default_nan(binary64), Flags.INVALID_OPERATION) == outcome
