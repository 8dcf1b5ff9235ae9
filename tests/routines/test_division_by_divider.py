"""Division by a divider: quotients rounded down, from estimates that are off by what the argument allows."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import pytest

from softfloat_py.engines import direct, stepwise
from softfloat_py.integer_form.grammar import Step
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import Format
from softfloat_py.routines import division
from softfloat_py.routines.division import digit_widths, leading_bits, next_digit
from softfloat_py.routines.language import Bits

SMALL_PRECISIONS = [2, 3, 5, 7]
# All bits lead; one and two are below; whole digits; the formats people use.
PRECISIONS = [11, 15, 16, 17, 18, 24, 30, 31, 46, 53, 64, 113]


def format_of(precision: int) -> Format:
    """Some format of this precision."""
    return Format(f"p{precision}", exponent_bits=8, precision=precision)


def divisors(precision: int, source: Random) -> Iterator[int]:
    """Divisors with a leading one: ends, leading bits that say least of what is below them, and any."""
    top, below = 1 << (precision - 1), max(precision - 16, 0)
    yield from (top, 2 * top - 1, top | ((1 << below) - 1), 2 * top - (1 << below))
    yield from (top | source.getrandbits(precision - 1) for _ in range(40))


def cases(precision: int) -> Iterator[tuple[int, int]]:
    """Dividends and divisors whose quotient lies in [1, 2): the ends, next to round quotients, and any."""
    source = Random(precision)
    for divisor in divisors(precision, source):
        yield divisor, divisor
        yield 2 * divisor - 1, divisor
        for bits in range(1, min(precision, 17)):
            for digits in ((1 << bits) - 1, source.getrandbits(bits)):
                around = divisor + (divisor * digits >> bits)
                yield from ((n, divisor) for n in (around, around + 1) if divisor <= n < 2 * divisor)
        yield from ((source.randrange(divisor, 2 * divisor), divisor) for _ in range(10))


def assert_quotient_is_rounded_down(dividend: int, divisor: int, precision: int) -> None:
    """The routine delivers the first p + 1 bits, and whether anything remains."""
    operands = {"dividend": (dividend, precision + 1), "divisor": (divisor, precision)}
    (result,), _ = direct.run(division.quotient_by_divider, operands, {"fmt": format_of(precision)})
    quotient, remainder = divmod(dividend << precision, divisor)

    assert quotient << 1 | (remainder != 0) == result


@pytest.mark.parametrize("precision", SMALL_PRECISIONS)
def test_every_quotient_is_rounded_down(precision: int) -> None:
    """In small precisions, every dividend and divisor there is gets its bits."""
    for divisor in range(1 << (precision - 1), 1 << precision):
        for dividend in range(divisor, 2 * divisor):
            assert_quotient_is_rounded_down(dividend, divisor, precision)


@pytest.mark.parametrize("precision", PRECISIONS)
def test_quotients_of_larger_precisions_are_rounded_down(precision: int) -> None:
    """Precisions on either side of what a divider takes at once, and those people use, get their bits."""
    for dividend, divisor in cases(precision):
        assert_quotient_is_rounded_down(dividend, divisor, precision)


@pytest.mark.parametrize("precision", [17, 24, 53])
def test_an_estimate_is_one_too_large_at_most_and_sometimes_is(precision: int) -> None:
    """Digits as they are estimated are right or one too large, which a correction that hardly runs mends."""
    widths = {"dividend": precision + 1, "divisor": precision}
    program = read(division.quotient_by_divider, widths, {"fmt": format_of(precision)})
    off = set()
    for dividend, divisor in cases(precision):
        remainder = dividend - divisor
        estimates = [
            event.result
            for event in stepwise.run(program, (dividend, divisor)).events
            if isinstance(event.statement, Step) and event.statement.kind.name == "divide"
        ]
        for estimate, bits in zip(estimates, digit_widths(precision), strict=True):
            digit, remainder = divmod(remainder << bits, divisor)
            off.add(estimate - digit)

    assert {0, 1} == off


@pytest.mark.parametrize("bits", range(1, 16))
def test_a_digit_of_any_width_is_found(bits: int) -> None:
    """Digits up to the widest, beside fewer, as many and more bits below the leading ones of the divisor."""
    source = Random(bits)
    for precision in (2, 16, 17, 16 + bits, 40):
        for divisor in divisors(precision, source):
            whole = Bits(divisor, precision)
            for remainder in (0, divisor - 1, source.randrange(divisor)):
                digit, rest = next_digit(Bits(remainder, precision), whole, leading_bits(whole), bits)

                assert divmod(remainder << bits, divisor) == (digit.value, rest.value)


@pytest.mark.parametrize("bits", [1, 15, 16, 24, 53, 113, 237])
def test_digits_are_few_and_even(bits: int) -> None:
    """The digits have all bits together, 15 at most each, and differ by one bit at most."""
    widths = digit_widths(bits)

    assert bits == sum(widths)
    assert 15 * (len(widths) - 1) < bits
    assert max(widths) <= min(min(widths) + 1, 15)
