"""sinh, cosh and tanh: all ways to compute and where they meet, symmetry, special operands, against MPFR."""

from __future__ import annotations

from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.options import Division, Elementary, Options, Tables
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct, assert_exact

NAMES = ("sinh", "cosh", "tanh")
# Of the first, some subnormal numbers are so near to their sinh that it is not computed, and some are not.
ODD_FORMATS = (
    Format("e4p14", exponent_bits=4, precision=14),
    Format("e15p2", exponent_bits=15, precision=2),
)
OPTIONS = [
    *(Options(tables=tables) for tables in Tables),
    *(Options(division=division) for division in Division),
    Options(elementary=Elementary.SHIFT_AND_ADD),
]


@pytest.mark.parametrize("fmt", [bfloat16, binary16, binary32, *ODD_FORMATS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_either_side_of_powers_of_two(name: str, fmt: Format) -> None:
    """Below and above the powers of two, where the ways to compute take turns, results are right."""
    random = Random(3)
    half = fmt.bias - fmt.precision // 2
    near_least = range(max(half - 2, 0), min(half + 3, fmt.largest_exponent_field))
    near_one = range(max(fmt.bias - 3, 0), min(fmt.bias + 9, fmt.largest_exponent_field))
    for exponent in (0, 1, random.randrange(fmt.largest_exponent_field), *near_least, *near_one):
        for away in (-1, 0, 1):
            magnitude = max((exponent << fmt.trailing_bits) + away, 0)
            assert_correct(name, fmt, magnitude | random.choice((0, fmt.sign_bit)))


@pytest.mark.parametrize("options", OPTIONS, ids=lambda options: options.name)
@pytest.mark.parametrize("name", NAMES)
def test_all_algorithms(name: str, options: Options) -> None:
    """With tables of any size, or none, and by every algorithm results are right."""
    random = Random(1)
    for _ in range(20):
        bits = random.randrange(2) << 31 | random.randrange(113, 134) << 23 | random.randrange(1 << 23)
        assert_correct(name, binary32, bits, options=options)


@pytest.mark.parametrize("name", NAMES)
def test_symmetry(name: str) -> None:
    """cosh is even, sinh and tanh are odd, to the bit."""
    random = Random(4)
    use = used(name, binary64)
    for _ in range(20):
        bits = random.randrange(1000, 1034) << 52 | random.randrange(1 << 52)
        (there, _), (back, _) = (
            run_plain(use, Rounding.TOWARD_ZERO, (x,)).outcome for x in (bits, bits | binary64.sign_bit)
        )
        assert back == there if name == "cosh" else there | binary64.sign_bit


@pytest.mark.parametrize("name", NAMES)
def test_next_to_one_and_beyond_range(name: str) -> None:
    """Where tanh comes to 1, and the others to the largest number, results are right in binary16."""
    for first, end in ((3.5, 5.0), (11.0, 12.5)):
        for bits in range(binary16(first).bits, binary16(end).bits, 23):
            assert_correct(name, binary16, bits)


INFINITY = float("inf")
SPECIAL = [
    ("sinh", 0.0, 0.0), ("sinh", -0.0, -0.0), ("sinh", INFINITY, INFINITY), ("sinh", -INFINITY, -INFINITY),
    ("cosh", 0.0, 1.0), ("cosh", -0.0, 1.0), ("cosh", INFINITY, INFINITY), ("cosh", -INFINITY, INFINITY),
    ("tanh", 0.0, 0.0), ("tanh", -0.0, -0.0), ("tanh", INFINITY, 1.0), ("tanh", -INFINITY, -1.0),
]  # fmt: skip


@pytest.mark.parametrize(("name", "x", "expected"), SPECIAL)
def test_special_operands(name: str, x: float, expected: float) -> None:
    """Zeros and infinities have the exact results of clause 9.2.1 (from memory)."""
    assert_exact(name, x, expected)


@pytest.mark.parametrize("name", ["sinh", "tanh"])
@pytest.mark.parametrize("x", [2.0**-149, -(2.0**-149), 3 * 2.0**-130])
def test_tiny_result_underflows(x: float, name: str) -> None:
    """sinh and tanh are next to a tiny x, inexact, and signal underflow."""
    outcome = run_plain(used(name, binary32), Rounding.TIES_TO_EVEN, (binary32(x).bits,)).outcome

    assert (binary32(x).bits, Flags.UNDERFLOW | Flags.INEXACT) == outcome
