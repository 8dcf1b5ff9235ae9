"""Inverse hyperbolic functions: small arguments, the ends of their domains and of the range, against MPFR."""

from __future__ import annotations

from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from softfloat_py.options import COMPLETE, Options, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct

FORMATS = [binary16, binary32, binary64]
INFINITY = float("inf")


@pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ["asinh", "atanh"])
def test_small_arguments(name: str, fmt: Format) -> None:
    """Small arguments of either sign, subnormal ones too, have a result next to them, or all of its bits."""
    first = max(fmt.bias - fmt.precision // 2 - 3, 2)
    for exponent in (1, *range(first, fmt.bias, 1 + fmt.precision // 20)):
        for trailing in (0, 1, fmt.leading_one // 2, fmt.leading_one - 1):
            assert_correct(name, fmt, exponent << fmt.trailing_bits | trailing)
            assert_correct(name, fmt, fmt.sign_bit | exponent << fmt.trailing_bits | trailing)
    assert_correct(name, fmt, 1)
    assert_correct(name, fmt, fmt.sign_bit | (fmt.leading_one - 1))


@pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ["acosh", "atanh"])
def test_next_to_one(name: str, fmt: Format) -> None:
    """Next to 1, where acosh is small and atanh is large, results are correct."""
    one = fmt.one
    for place in range(0, fmt.trailing_bits, 1 + fmt.precision // 20):
        for distance in (1 << place, (2 << place) - 1):
            assert_correct(name, fmt, one + distance if name == "acosh" else one - distance)


@pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ["asinh", "acosh"])
def test_large_arguments(name: str, fmt: Format) -> None:
    """Arguments up to the largest one, those that are powers of two and others, have correct results."""
    for exponent in range(fmt.bias, fmt.largest_exponent_field, 1 + fmt.emax // 20):
        for trailing in (0, fmt.leading_one - 1):
            assert_correct(name, fmt, exponent << fmt.trailing_bits | trailing)
    assert_correct(name, fmt, fmt.largest_finite)


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", ["asinh", "acosh", "atanh"])
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, arguments of all sizes give the correct result."""
    random = Random(1)
    exponents = {"asinh": range(112, 140), "acosh": range(127, 150), "atanh": range(112, 127)}[name]
    for _ in range(40):
        bits = random.choice(exponents) << 23 | random.randrange(1, 1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))


SPECIAL = [
    ("asinh", 0.0, 0.0, Flags.NONE),
    ("asinh", -0.0, -0.0, Flags.NONE),
    ("asinh", INFINITY, INFINITY, Flags.NONE),
    ("asinh", -INFINITY, -INFINITY, Flags.NONE),
    ("acosh", 1.0, 0.0, Flags.NONE),
    ("acosh", INFINITY, INFINITY, Flags.NONE),
    ("atanh", 0.0, 0.0, Flags.NONE),
    ("atanh", -0.0, -0.0, Flags.NONE),
    ("atanh", 1.0, INFINITY, Flags.DIVISION_BY_ZERO),
    ("atanh", -1.0, -INFINITY, Flags.DIVISION_BY_ZERO),
]


@pytest.mark.parametrize(("name", "x", "expected", "flags"), SPECIAL)
def test_special_operands(name: str, x: float, expected: float, flags: Flags) -> None:
    """Zeros, infinities and the ends of domains have the results and flags of clause 9.2.1 (from memory)."""
    outcome = run_plain(used(name, binary64), Rounding.TOWARD_NEGATIVE, (binary64(x).bits,)).outcome

    assert (binary64(expected).bits, flags) == outcome


OUTSIDE = [
    ("acosh", 0.9999999999999999), ("acosh", 0.0), ("acosh", -2.0), ("acosh", -INFINITY),
    ("atanh", 1.0000000000000002), ("atanh", -1.5), ("atanh", INFINITY), ("atanh", -INFINITY),
]  # fmt: skip


@pytest.mark.parametrize(("name", "x"), OUTSIDE)
def test_outside_the_domain(name: str, x: float) -> None:
    """Outside its domain a function is invalid."""
    outcome = run_plain(used(name, binary64), Rounding.TIES_TO_EVEN, (binary64(x).bits,)).outcome

    assert (COMPLETE.default_nan(binary64), Flags.INVALID_OPERATION) == outcome
