"""Powers: exact ones, those next to 1, the ends of the range and special operands, against MPFR."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import inf, isnan, log2, nan
from random import Random

import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from softfloat_py.options import Elementary, ElementaryRounding, Options, Tables
from softfloat_py.uses import INTEGER_BITS
from tests.engines.running import reference, run_plain, used
from tests.references.exact_rounding import Destination, Outcome
from tests.routines.elementary.correctness import assert_correct

EVEN = Rounding.TIES_TO_EVEN
FORMATS = pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)


def encoding(fmt: Format, value: Fraction) -> int:
    """The encoding of the nearest number; `value` is not zero."""
    return int(Destination(fmt, EVEN).round(value)[0])


def pattern(n: int) -> int:
    """The bits of an integer operand."""
    return n % (1 << INTEGER_BITS)


# -- exact powers, and those that are next to it ------------------------------------------------------------


@FORMATS
def test_exact_powers(fmt: Format) -> None:
    """Powers of fourth powers to whole numbers and fourths that the format has are exact, in pown as well."""
    for root, fourths in product(range(2, 9), (1, 2, 3, 4, 5, 6, 8, 12, 16, 20)):
        if root**fourths >= 1 << fmt.precision or root**4 >= 1 << fmt.precision:
            continue
        x, wanted = fmt(root**4).bits, fmt(root**fourths).bits
        for rounding in Rounding:
            outcomes = [run_plain(used("pow", fmt), rounding, (x, fmt(fourths / 4).bits)).outcome]
            if fourths % 4 == 0:
                outcomes.append(run_plain(used("pown", fmt), rounding, (x, pattern(fourths // 4))).outcome)
            assert [(wanted, Flags.NONE)] * len(outcomes) == outcomes, (root, fourths)


@FORMATS
def test_next_to_exact_powers(fmt: Format) -> None:
    """Powers of operands one encoding away from those of an exact power are correct."""
    for base, exponent in ((2, 3.0), (3, 4.0), (4, -2.0), (9, 0.5), (16, 1.25), (5, 1.0), (6, 2.0)):
        x, y = fmt(base).bits, fmt(exponent).bits
        for from_x, from_y in product((-1, 0, 1), repeat=2):
            assert_correct("pow", fmt, x + from_x, y + from_y)


@FORMATS
def test_the_longest_powers_that_are_exact(fmt: Format) -> None:
    """Powers of p + 1 bits, which are numbers or the middle between two, and longer ones are correct."""
    for exponent in range(3, fmt.precision):
        longest = int(2 ** ((fmt.precision + 1) / exponent)) | 1
        for base in {3, longest - 2, longest, longest + 2} - {1, -1}:
            assert_correct("pown", fmt, fmt(base).bits, pattern(exponent))
    for exponent, base in product((3, 4, 5), (3, 5, 9, 17)):
        assert_correct("pow", fmt, fmt(base).bits, fmt(exponent).bits)
        assert_correct("pow", fmt, fmt(-base / 4).bits, fmt(exponent).bits)


@FORMATS
def test_powers_next_to_the_middle_of_two_numbers(fmt: Format) -> None:
    """(1 + u)^(-1/4 - 5/32 u) is correct, which is 1 - u/4 but for less than u^4: 4 p bits tell."""
    tried = 0
    for places, odd, sign in product(range(1, 7), (1, 3, 5), (1, -1)):
        u = Fraction(sign * odd) / 2 ** (fmt.precision - places)
        x, y = encoding(fmt, 1 + u), encoding(fmt, -Fraction(1, 4) - Fraction(5, 32) * u)
        if (fmt.decode(x), fmt.decode(y)) == (1 + u, -Fraction(1, 4) - Fraction(5, 32) * u):
            assert_correct("pow", fmt, x, y)
            tried += 1
    assert tried >= 6


# -- the ends ------------------------------------------------------------------------------------------------


@FORMATS
def test_ends_of_the_range(fmt: Format) -> None:
    """Powers about the largest number, the smallest normal and subnormal one, and next to 1 are correct."""
    random = Random(1)
    for end in (
        fmt.emax + 1,
        fmt.emin,
        fmt.emin - fmt.precision + 1,
        2.0**-fmt.precision,
        -(2.0**-fmt.precision),
    ):
        for _ in range(8):
            x = fmt(
                random.choice((1.5, 1 + 2.0 ** (5 - fmt.precision), 0.75, 30.0)) * (1 + random.random() / 64)
            )
            exponent = end * random.choice((1, 1 + random.random() / 64)) / log2(float(x))
            assert_correct("pow", fmt, x.bits, fmt(exponent).bits)


@pytest.mark.parametrize("n", [3, -3, 4, -4, 2**31 - 1, -(2**31), 10**6 + 1])
@FORMATS
def test_whole_powers_of_all_sizes(fmt: Format, n: int) -> None:
    """Whole powers of either sign, of numbers next to 1 and of subnormal ones, are correct."""
    one = fmt.one
    for magnitude in (
        1,
        fmt.leading_one - 1,
        one - 1,
        one + 1,
        one + 5,
        one + fmt.leading_one // 3,
        fmt.largest_finite,
    ):
        assert_correct("pown", fmt, magnitude, pattern(n))
        assert_correct("pown", fmt, magnitude | fmt.sign_bit, pattern(n))


# -- options -------------------------------------------------------------------------------------------------

OPTIONS = [
    *(Options(tables=tables) for tables in Tables),
    Options(elementary=Elementary.SHIFT_AND_ADD),
]


@pytest.mark.parametrize("options", OPTIONS, ids=lambda options: options.name)
def test_all_ways_to_compute(options: Options) -> None:
    """With tables of any size, or by shifts and additions, results are the same."""
    random = Random(2)
    for _ in range(40):
        x, y = binary32(random.uniform(0.1, 10)), binary32(random.uniform(-20, 20))
        assert_correct("pow", binary32, x.bits, y.bits, options=options)


def test_faithful_rounding() -> None:
    """Rounded faithfully, a power is one of the two numbers next to it; exact ones come out."""
    random, use = Random(3), used("pow", binary32, Options(elementary_rounding=ElementaryRounding.FAITHFUL))
    for _ in range(100):
        operands = binary32(random.uniform(0.1, 10)).bits, binary32(random.uniform(-20, 20)).bits
        down, up = (
            reference(use, rounding, operands)[0]
            for rounding in (Rounding.TOWARD_NEGATIVE, Rounding.TOWARD_POSITIVE)
        )
        assert run_plain(use, EVEN, operands).outcome[0] in (down, up)
    assert (binary32(81).bits, Flags.NONE) == run_plain(
        use, EVEN, (binary32(3).bits, binary32(4).bits)
    ).outcome


# -- special operands ----------------------------------------------------------------------------------------

POLE, INVALID, NONE = Flags.DIVISION_BY_ZERO, Flags.INVALID_OPERATION, Flags.NONE
POW = [
    (nan, 0.0, 1.0, NONE), (inf, -0.0, 1.0, NONE), (-0.0, 0.0, 1.0, NONE),
    (1.0, nan, 1.0, NONE), (1.0, inf, 1.0, NONE), (1.0, -2.5, 1.0, NONE),
    (-1.0, inf, 1.0, NONE), (-1.0, -inf, 1.0, NONE), (-1.0, 3.0, -1.0, NONE), (-1.0, 4.0, 1.0, NONE),
    (0.0, -3.0, inf, POLE), (-0.0, -3.0, -inf, POLE), (-0.0, -2.0, inf, POLE), (-0.0, -2.5, inf, POLE),
    (-0.0, -inf, inf, NONE), (0.0, inf, 0.0, NONE), (-0.0, 3.0, -0.0, NONE), (-0.0, 2.5, 0.0, NONE),
    (0.5, inf, 0.0, NONE), (-2.0, inf, inf, NONE), (0.5, -inf, inf, NONE), (-2.0, -inf, 0.0, NONE),
    (-inf, inf, inf, NONE), (-inf, -inf, 0.0, NONE),
    (inf, -0.5, 0.0, NONE), (inf, 0.5, inf, NONE), (-inf, -3.0, -0.0, NONE), (-inf, 3.0, -inf, NONE),
    (-inf, -2.5, 0.0, NONE), (-inf, 2.0, inf, NONE), (-inf, 2.0**60, inf, NONE),
    (-2.0, 0.5, nan, INVALID), (-2.0, -1.5, nan, INVALID), (-2.0, 3.0, -8.0, NONE), (nan, 2.0, nan, NONE),
    (-2.0, nan, nan, NONE),
]  # fmt: skip
POWR = [
    (2.0, 0.0, 1.0, NONE), (0.0, -2.5, inf, POLE), (-0.0, -3.0, inf, POLE), (0.0, -inf, inf, NONE),
    (-0.0, 3.0, 0.0, NONE), (0.0, inf, 0.0, NONE), (1.0, 2.5, 1.0, NONE), (inf, -1.0, 0.0, NONE),
    (inf, inf, inf, NONE), (0.5, inf, 0.0, NONE), (0.5, -inf, inf, NONE),
    (-2.0, 2.0, nan, INVALID), (-inf, 3.0, nan, INVALID), (0.0, 0.0, nan, INVALID),
    (-0.0, -0.0, nan, INVALID), (inf, 0.0, nan, INVALID), (1.0, inf, nan, INVALID), (1.0, -inf, nan, INVALID),
    (1.0, nan, nan, NONE), (0.0, nan, nan, NONE), (nan, 0.0, nan, NONE), (nan, 1.0, nan, NONE),
]  # fmt: skip
POWN = [
    (nan, 0, 1.0, NONE), (inf, 0, 1.0, NONE), (-0.0, 0, 1.0, NONE), (nan, 1, nan, NONE),
    (0.0, -3, inf, POLE), (-0.0, -3, -inf, POLE), (-0.0, -2, inf, POLE), (-0.0, 2, 0.0, NONE),
    (-0.0, 3, -0.0, NONE), (inf, 2, inf, NONE), (inf, -2, 0.0, NONE), (-inf, 3, -inf, NONE),
    (-inf, 2, inf, NONE), (-inf, -3, -0.0, NONE), (-inf, -4, 0.0, NONE), (-1.0, 2**31 - 1, -1.0, NONE),
    (-1.0, -(2**31), 1.0, NONE), (-2.0, 3, -8.0, NONE), (-2.0, 1, -2.0, NONE), (-3.0, 2, 9.0, NONE),
]  # fmt: skip


def expected(fmt: Format, result: float, flags: Flags) -> Outcome:
    """A result as an encoding, the default NaN for a NaN."""
    return fmt.quiet_nan if isnan(result) else fmt(result).bits, flags


@pytest.mark.parametrize(
    ("name", "case"), [*product(["pow"], POW), *product(["powr"], POWR), *product(["pown"], POWN)]
)
def test_special_operands(name: str, case: tuple[float, float, float, Flags]) -> None:
    """Special operands have the results and flags of clause 9.2.1 (from memory)."""
    x, y, result, flags = case
    second = pattern(int(y)) if name == "pown" else binary64(y).bits

    assert (
        expected(binary64, result, flags)
        == run_plain(used(name, binary64), Rounding.TOWARD_NEGATIVE, (binary64(x).bits, second)).outcome
    )


@pytest.mark.parametrize("name", ["pow", "powr", "pown"])
def test_signalling_nans_are_invalid(name: str) -> None:
    """A signalling NaN is invalid, beside an operand with which all numbers give 1 too."""
    signalling, one = binary64.infinity + 1, binary64(1.0).bits
    pairs = [(signalling, 0)] if name == "pown" else [(signalling, 0), (one, signalling)]
    for pair in pairs:
        assert (binary64.quiet_nan, INVALID) == run_plain(used(name, binary64), EVEN, pair).outcome


def test_few_exponents_and_many_digits() -> None:
    """Odd whole powers keep the sign of a zero where significands are wider than exponents."""
    fmt = Format("e2p9", exponent_bits=2, precision=9)
    minus_zero = fmt.sign_bit
    for y, expected in ((1.0, minus_zero), (2.0, 0), (3.0, minus_zero), (2.5, 0)):
        outcome = run_plain(used("pow", fmt), Rounding.TIES_TO_EVEN, (minus_zero, fmt(y).bits)).outcome

        assert (expected, Flags.NONE) == outcome
