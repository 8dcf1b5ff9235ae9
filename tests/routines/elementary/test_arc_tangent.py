"""Arc tangents: where the ways to compute take turns, next to right angles, every set of tables."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.options import Options, Tables
from tests.engines.running import reference, run_plain, used
from tests.routines.elementary.correctness import assert_correct, assert_exact

WIDE_EXPONENTS = Format("e15p2", exponent_bits=15, precision=2)


@pytest.mark.parametrize("fmt", [binary16, bfloat16, binary32, WIDE_EXPONENTS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ["atan", "atan_pi"])
def test_either_side_of_powers_of_two(name: str, fmt: Format) -> None:
    """Below and above the powers of two, where the ways to compute take turns, results are right."""
    random = Random(2)
    end, p = fmt.largest_exponent_field, fmt.precision
    near_one = range(max(fmt.bias - 8, 1), min(fmt.bias + 8, end))
    least = max(fmt.bias - (p + 1) // 2, 1)
    for exponent in (
        1,
        least,
        least + 1,
        min(fmt.bias + p, end - 1),
        *random.sample(range(end), 8),
        *near_one,
    ):
        for away in (-1, 0, 1):
            magnitude = max((exponent << fmt.trailing_bits) + away, 0)
            assert_correct(name, fmt, magnitude | random.choice((0, fmt.sign_bit)))


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", ["atan", "atan_pi"])
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, arguments of either sign give the correct result."""
    random = Random(1)
    for _ in range(50):
        bits = random.randrange(2) << 31 | random.randrange(115, 160) << 23 | random.randrange(1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))


@pytest.mark.parametrize("fmt", [binary32, binary64], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ["atan", "atan_pi"])
def test_results_next_to_right_angles(name: str, fmt: Format) -> None:
    """Arguments so large that the result leaves a right angle by a few units of its last place are right."""
    random = Random(3)
    for exponent in range(fmt.bias + fmt.precision - 6, fmt.bias + fmt.precision + 30):
        trailing = random.choice((0, 1, random.randrange(1 << fmt.trailing_bits)))
        assert_correct(name, fmt, min(exponent, fmt.largest_exponent_field) << fmt.trailing_bits | trailing)


INFINITY = float("inf")
EXACT = [
    ("atan", 0.0, 0.0), ("atan", -0.0, -0.0), ("atan_pi", 0.0, 0.0), ("atan_pi", -0.0, -0.0),
    ("atan_pi", 1.0, 0.25), ("atan_pi", -1.0, -0.25),
    ("atan_pi", INFINITY, 0.5), ("atan_pi", -INFINITY, -0.5),
]  # fmt: skip


@pytest.mark.parametrize(("name", "x", "expected"), EXACT)
def test_exact_results(name: str, x: float, expected: float) -> None:
    """Zeros, and of parts of pi infinities and 1, have the exact results of clause 9.2.1 (from memory)."""
    assert_exact(name, x, expected)


@pytest.mark.parametrize("x", [2.0**-149, -(2.0**-149), 2.0**-130, -(2.0**-127)])
def test_tiny_result_underflows(x: float) -> None:
    """The result is next to a tiny x, inexact, and signals underflow."""
    outcome = run_plain(used("atan", binary32), Rounding.TIES_TO_EVEN, (binary32(x).bits,)).outcome

    assert (binary32(x).bits, Flags.UNDERFLOW | Flags.INEXACT) == outcome


@pytest.mark.parametrize("tables", Tables, ids=lambda tables: tables.name)
@pytest.mark.parametrize("name", ["atan", "atan_pi", "atan2", "atan2_pi"])
def test_the_smallest_format_has_arc_tangents(name: str, tables: Tables) -> None:
    """Exponents of two bits reach less far than angles have bits."""
    use = used(name, Format("e2p2", exponent_bits=2, precision=2), Options(tables=tables))
    operands = [range(16)] * use.operation.arity

    for values in product(*operands):
        expected, flags = reference(use, Rounding.TIES_TO_EVEN, values)
        assert (expected, flags) == run_plain(use, Rounding.TIES_TO_EVEN, values).outcome
