"""Sines, cosines, tangents: next to multiples of right angles, with all tables, the bounds argued."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from random import Random

import gmpy2  # type: ignore[import-untyped]
import mpmath  # type: ignore[import-untyped]
import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from softfloat_py.options import COMPLETE, Options, Tables
from softfloat_py.routines.elementary.nearest_multiples import least_distance, zeros_of_nearest
from softfloat_py.routines.elementary.sines import sine, sine_plan
from softfloat_py.routines.elementary.tangents import tangent, tangent_plan
from softfloat_py.routines.language import Bits
from tests.engines.running import run_plain, used
from tests.routines.elementary.correctness import assert_correct, assert_exact

NAMES = ("sin", "cos", "tan")
FORMATS = (binary16, bfloat16, binary32, binary64)


def two_over_pi() -> Fraction:
    """2/pi with more bits than the exponents of binary64 reach."""
    with gmpy2.context(precision=1400):
        return Fraction(*map(int, (2 / gmpy2.const_pi()).as_integer_ratio()))


def nearest_to_multiples(fmt: Format, exponent: int) -> Iterator[int]:
    """Encodings of numbers with an exponent that come near a multiple of a right angle.

    Their significands are denominators of convergents of what their last place is in right angles.
    """
    rest = two_over_pi() * Fraction(2) ** (exponent - fmt.trailing_bits)
    earlier, m = 1, 0
    while rest and m < 2 * fmt.leading_one:
        whole = rest.numerator // rest.denominator
        earlier, m = m, whole * m + earlier
        if fmt.leading_one <= m < 2 * fmt.leading_one:
            yield (exponent + fmt.bias) << fmt.trailing_bits | (m - fmt.leading_one)
        rest = 1 / (rest - whole) if rest != whole else Fraction(0)


@pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_next_to_multiples_of_right_angles(name: str, fmt: Format) -> None:
    """Where arguments come next to a multiple of a right angle, at any exponent, the result is right."""
    step = max(fmt.emax // 25, 1)
    for exponent in range(0, fmt.emax + 1, step):
        for bits in nearest_to_multiples(fmt, exponent):
            assert_correct(name, fmt, bits)


@pytest.mark.parametrize("name", NAMES)
def test_the_double_nearest_to_a_multiple(name: str) -> None:
    """6381956970095103 x 2^797 is 2^-60.9 from a multiple of a right angle, nearer than all other doubles.

    Source: J.-M. Muller, Elementary Functions, on range reduction (from memory).
    """
    x = Fraction(6381956970095103) * 2**797
    beyond = (x * two_over_pi()) % 1
    distance = min(beyond, 1 - beyond) / two_over_pi()

    assert Fraction(2) ** -61 < distance < Fraction(2) ** Fraction(-60)
    assert zeros_of_nearest(binary64) >= 61
    assert_correct(name, binary64, (797 + 52 + 1023) << 52 | 6381956970095103 & ~(1 << 52))


def test_bound_of_nearest_multiples() -> None:
    """In binary16 no number is nearer to a multiple of a right angle than is said."""
    beyond = [
        binary16.decode(bits) * two_over_pi() % 1
        for bits in range(binary16(0.5).bits, binary16.first_special)
    ]
    nearest = min(min(rest, 1 - rest) for rest in beyond)

    assert Fraction(2) ** -zeros_of_nearest(binary16) <= nearest


def test_least_distance() -> None:
    """Steps on a circle come as near to their beginning as going them one by one finds."""
    random = Random(1)
    for _ in range(300):
        circle, most = random.randrange(2, 2000), random.randrange(2, 200)
        step = random.randrange(circle)
        places = [times * step % circle for times in range(1, most)]
        expected = min(min(place, circle - place) for place in places)

        assert expected == least_distance(step, circle, most)


@pytest.mark.parametrize("tables", Tables)
@pytest.mark.parametrize("name", NAMES)
def test_all_tables(name: str, tables: Tables) -> None:
    """With tables of any size, or none, arguments of all sizes give the correct result."""
    random = Random(1)
    for exponent in (*range(112, 140), 160, 200, 254):
        bits = exponent << 23 | random.randrange(1 << 23)
        assert_correct(name, binary32, bits, options=Options(tables=tables))


WAYS = [(0, False), (3, False), (5, False), (8, False), (0, True), (7, True)]


@pytest.mark.parametrize(("index_bits", "by_shifts"), WAYS)
@pytest.mark.parametrize("bits", [20, 36, 76])
def test_error_of_a_sine(bits: int, index_bits: int, by_shifts: bool) -> None:
    """The sine of a fraction is no further off than its plan says, next to either end and between."""
    plan = sine_plan(bits, 12, False, index_bits, by_shifts)
    width = plan.fraction_bits
    random = Random(bits)
    fractions = [random.randrange(1 << (width - 13), 1 << width) for _ in range(80)]
    fractions += [
        random.randrange(1 << (width - 4), 1 << (width - 2)) >> random.randrange(9) for _ in range(30)
    ]
    fractions += [(1 << width) - 1 - random.getrandbits(width - 8) for _ in range(20)]
    with mpmath.workprec(2 * width):
        for g in fractions:
            place, significand = sine(Bits(g, width), plan, COMPLETE)
            exact = mpmath.sin(mpmath.pi / 2 * mpmath.mpf(g) / 2**width) * 2 ** (bits + int(place))

            assert abs(exact - int(significand)) <= plan.error


@pytest.mark.parametrize("inverted", [0, 1])
@pytest.mark.parametrize(("index_bits", "by_shifts"), WAYS)
@pytest.mark.parametrize("bits", [20, 36, 76])
def test_error_of_a_tangent(bits: int, index_bits: int, by_shifts: bool, inverted: int) -> None:
    """The tangent of a fraction to one half, and its reciprocal, are no further off than their plan says."""
    plan = tangent_plan(bits, 12, False, index_bits, by_shifts)
    width = plan.fraction_bits
    random = Random(bits)
    fractions = [random.randrange(1 << (width - 13), 1 << (width - 1)) for _ in range(60)]
    fractions += [
        random.randrange(1 << (width - 3), 1 << (width - 2)) >> random.randrange(9) for _ in range(50)
    ]
    fractions += [(1 << (width - 1)) - 1 - random.getrandbits(width - 8) for _ in range(20)]
    with mpmath.workprec(2 * width):
        for g in fractions:
            fraction, choice = Bits(g, width), Bits(inverted, 1)
            less_one, significand = tangent(fraction, choice, plan, 12, binary64, COMPLETE)
            exact = mpmath.tan(mpmath.pi / 2 * mpmath.mpf(g) / 2**width)
            scale = bits + binary64.bias - 1 - int(less_one)

            assert abs((1 / exact if inverted else exact) * 2**scale - int(significand)) <= plan.error


SPECIAL = [
    ("sin", 0.0, 0.0, Flags.NONE),
    ("sin", -0.0, -0.0, Flags.NONE),
    ("cos", 0.0, 1.0, Flags.NONE),
    ("cos", -0.0, 1.0, Flags.NONE),
    ("tan", 0.0, 0.0, Flags.NONE),
    ("tan", -0.0, -0.0, Flags.NONE),
    ("sin", float("inf"), float("nan"), Flags.INVALID_OPERATION),
    ("cos", -float("inf"), float("nan"), Flags.INVALID_OPERATION),
    ("tan", float("inf"), float("nan"), Flags.INVALID_OPERATION),
]


@pytest.mark.parametrize(("name", "x", "expected", "flags"), SPECIAL)
def test_special_operands(name: str, x: float, expected: float, flags: Flags) -> None:
    """Zeros and infinities have the results of clause 9.2.1 (from memory)."""
    assert_exact(name, x, expected, flags)


@pytest.mark.parametrize("x", [2.0**-149, -(2.0**-149), 2.0**-130, -(2.0**-127)])
@pytest.mark.parametrize("name", ["sin", "tan"])
def test_tiny_results_underflow(name: str, x: float) -> None:
    """The sine and the tangent of a tiny number are next to it, inexact, and signal underflow."""
    outcome = run_plain(used(name, binary32), Rounding.TIES_TO_EVEN, (binary32(x).bits,)).outcome

    assert (binary32(x).bits, Flags.UNDERFLOW | Flags.INEXACT) == outcome


def test_signs() -> None:
    """Sine and tangent are odd functions, the cosine an even one, in directions alike on both sides."""
    random = Random(3)
    for _ in range(100):
        bits = random.randrange(binary32.infinity)
        for rounding in (Rounding.TIES_TO_EVEN, Rounding.TIES_TO_AWAY, Rounding.TOWARD_ZERO):
            for name, flipped in (("sin", 1), ("tan", 1), ("cos", 0)):
                positive, _ = run_plain(used(name, binary32), rounding, (bits,)).outcome
                negative, _ = run_plain(used(name, binary32), rounding, (bits | binary32.sign_bit,)).outcome

                assert positive ^ flipped * binary32.sign_bit == negative
