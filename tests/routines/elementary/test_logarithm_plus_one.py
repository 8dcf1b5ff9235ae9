"""Logarithms of 1 + x: small arguments, those next to -1, exact and all but exact results, against MPFR."""

from __future__ import annotations

from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from softfloat_py.options import COMPLETE, Options, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct

NAMES = ("logp1", "log2p1", "log10p1")


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_small_arguments(name: str, fmt: Format) -> None:
    """Small arguments of either sign, subnormal ones too, have a result with all its bits."""
    p = fmt.precision
    exponents = [1, *range(max(fmt.bias - p - 2, 2), fmt.bias, 1 + p // 12)]
    for exponent in exponents:
        for trailing in (0, 1, fmt.leading_one - 1):
            for sign in (0, fmt.sign_bit):
                assert_correct(name, fmt, sign | exponent << fmt.trailing_bits | trailing)
    for bits in (1, 3, fmt.leading_one - 1):
        assert_correct(name, fmt, bits)
        assert_correct(name, fmt, fmt.sign_bit | bits)


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_one_less_than_a_power_of_two(name: str, fmt: Format) -> None:
    """2^k - 1 and 2^-k - 1, of which log2p1 is exact, and their neighbours."""
    for k in range(1, fmt.precision + 1, 1 + fmt.precision // 30):
        for power in (2**k, 2.0**-k):
            if power - 1 <= fmt.decode(fmt.largest_finite):
                bits = fmt(power - 1).bits
                for neighbour in (bits - 1, bits, bits + 1):
                    assert_correct(name, fmt, neighbour)


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
def test_powers_of_two(fmt: Format, tables: Tables) -> None:
    """log2p1 of 2^k is k and a little, however little that is."""
    for k in range(1, fmt.emax + 1, 1 + fmt.emax // 20):
        assert_correct("log2p1", fmt, (fmt.bias + k) << fmt.trailing_bits, options=Options(tables=tables))


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
def test_one_less_than_a_power_of_ten(fmt: Format) -> None:
    """log10p1 of 99...9 is exact, and not that of its neighbours or of a power of ten."""
    digits = 1
    while 10**digits - 1 < min(1 << fmt.precision, fmt.decode(fmt.largest_finite)):
        bits = fmt(10**digits - 1).bits
        for rounding in Rounding:
            outcome = run_plain(used("log10p1", fmt), rounding, (bits,)).outcome
            assert (fmt(digits).bits, Flags.NONE) == outcome
        for other in (bits - 1, bits + 1, fmt(10**digits).bits):
            assert_correct("log10p1", fmt, other)
        digits += 1


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", NAMES)
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, arguments of all sizes give the correct result."""
    random = Random(1)
    for _ in range(40):
        exponent = random.choice((100, 110, 121, 122, 123, 124, 125, 126, 127, 140, 160, 254))
        sign = random.choice((0, binary32.sign_bit)) if exponent < 127 else 0
        bits = sign | exponent << 23 | random.randrange(1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))


SPECIAL = [
    (0.0, 0.0, Flags.NONE),
    (-0.0, -0.0, Flags.NONE),
    (-1.0, -float("inf"), Flags.DIVISION_BY_ZERO),
    (float("inf"), float("inf"), Flags.NONE),
]


@pytest.mark.parametrize(("x", "expected", "flags"), SPECIAL)
@pytest.mark.parametrize("name", NAMES)
def test_special_operands(name: str, x: float, expected: float, flags: Flags) -> None:
    """Zeros, -1 and infinity have the results and flags of clause 9.2.1 (from memory)."""
    outcome = run_plain(used(name, binary64), Rounding.TOWARD_NEGATIVE, (binary64(x).bits,)).outcome

    assert (binary64(expected).bits, flags) == outcome


@pytest.mark.parametrize("x", [-1.0000000000000002, -2.0, -float("inf")])
@pytest.mark.parametrize("name", NAMES)
def test_below_minus_one(name: str, x: float) -> None:
    """Below -1 the operation is invalid."""
    outcome = run_plain(used(name, binary64), Rounding.TIES_TO_EVEN, (binary64(x).bits,)).outcome

    assert (COMPLETE.default_nan(binary64), Flags.INVALID_OPERATION) == outcome
