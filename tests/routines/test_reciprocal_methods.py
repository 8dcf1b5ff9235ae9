"""Division and square root by reciprocal: the digits of shift and subtract, within the bounds argued."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import isqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softfloat_py.engines import direct, stepwise
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import Format
from softfloat_py.routines import division, square_root
from softfloat_py.routines.language import Routine

PRECISIONS = [2, 3, 4, 5, 6, 7]
LARGER_PRECISIONS = [8, 11, 24, 53, 64]


def format_of(precision: int) -> Format:
    """Some format of this precision."""
    return Format(f"p{precision}", exponent_bits=8, precision=precision)


def divisions(precision: int) -> Iterator[tuple[int, int]]:
    """All dividends and divisors whose quotient lies in [1, 2)."""
    for divisor in range(1 << (precision - 1), 1 << precision):
        for dividend in range(divisor, 2 * divisor):
            yield dividend, divisor


def quotient_of(routine: Routine, dividend: int, divisor: int, precision: int) -> int:
    """What a routine for quotients delivers: p + 1 bits and a sticky bit."""
    operands = {"dividend": (dividend, precision + 1), "divisor": (divisor, precision)}
    (result,), _ = direct.run(routine, operands, {"fmt": format_of(precision)})
    return result


def root_of(routine: Routine, radicand: int, precision: int) -> int:
    """What a routine for roots delivers: p + 1 bits and a sticky bit."""
    operands = {"radicand": (radicand, precision + 1)}
    (result,), _ = direct.run(routine, operands, {"fmt": format_of(precision)})
    return result


@pytest.mark.parametrize("routine", [division.quotient_by_digits, division.quotient_by_reciprocal])
@pytest.mark.parametrize("precision", PRECISIONS)
def test_every_quotient_is_rounded_down(precision: int, routine: Routine) -> None:
    """Both methods find the first p + 1 bits of every quotient, and whether anything remains."""
    for dividend, divisor in divisions(precision):
        quotient, remainder = divmod(dividend << precision, divisor)

        assert quotient << 1 | (remainder != 0) == quotient_of(routine, dividend, divisor, precision)


@pytest.mark.parametrize("routine", [square_root.root_by_digits, square_root.root_by_reciprocal])
@pytest.mark.parametrize("precision", PRECISIONS)
def test_every_root_is_rounded_down(precision: int, routine: Routine) -> None:
    """Both methods find the first p + 1 bits of every root, and whether anything remains."""
    for radicand in range(1 << (precision - 1), 1 << (precision + 1)):
        scaled = radicand << (precision + 1)
        root = isqrt(scaled)

        assert root << 1 | (root * root != scaled) == root_of(routine, radicand, precision)


# -- the bounds of the argument ------------------------------------------------------------------------------


def versions(program: Program, arguments: tuple[int, ...], name: str) -> list[int]:
    """The values a name had in a run, in order."""
    values = stepwise.run(program, arguments).values
    numbered = {variable.number: value for variable, value in values.items() if variable.name == name}
    return [numbered[number] for number in sorted(numbered)]


def division_program(precision: int) -> Program:
    """The form of the quotient by reciprocal."""
    widths = {"dividend": precision + 1, "divisor": precision}
    return read(division.quotient_by_reciprocal, widths, {"fmt": format_of(precision)})


def root_program(precision: int) -> Program:
    """The form of the root by reciprocal."""
    return read(square_root.root_by_reciprocal, {"radicand": precision + 1}, {"fmt": format_of(precision)})


def assert_reciprocal_is_close(precision: int, divisor: int) -> None:
    """The last reciprocal R of D is below 1/D by a relative error of less than 4 × 2^-F."""
    fraction_bits = precision + 4
    *_, last = versions(division_program(precision), (divisor, divisor), "reciprocal")
    error = 1 - Fraction(divisor, 1 << precision) * Fraction(last, 1 << fraction_bits)

    assert 0 <= error < Fraction(4, 1 << fraction_bits)


@pytest.mark.parametrize("precision", PRECISIONS)
def test_every_reciprocal_is_as_close_as_argued(precision: int) -> None:
    """Whatever the divisor, Newton's steps end as near to its reciprocal as the docstring argues."""
    for divisor in range(1 << (precision - 1), 1 << precision):
        assert_reciprocal_is_close(precision, divisor)


@pytest.mark.parametrize("precision", LARGER_PRECISIONS)
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_reciprocals_of_larger_precisions_are_as_close_as_argued(precision: int, data: st.DataObject) -> None:
    """The bound on the reciprocal holds in the precisions people use."""
    assert_reciprocal_is_close(precision, data.draw(st.integers(1 << (precision - 1), (1 << precision) - 1)))


@pytest.mark.parametrize("precision", LARGER_PRECISIONS)
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_a_quotient_needs_one_correction_at_most(precision: int, data: st.DataObject) -> None:
    """Before it is corrected, the quotient is right or one too small."""
    divisor = data.draw(st.integers(1 << (precision - 1), (1 << precision) - 1))
    dividend = data.draw(st.integers(divisor, 2 * divisor - 1))
    first, *_ = versions(division_program(precision), (dividend, divisor), "quotient")

    assert (dividend << precision) // divisor - first in (0, 1)


def test_the_seed_of_the_reciprocal_is_as_close_as_argued() -> None:
    """The line through eight bits of any divisor gives 3.7 bits of the reciprocal: off by less than 1/13."""
    program = division_program(division.SEED_BITS)
    for divisor in range(1 << (division.SEED_BITS - 1), 1 << division.SEED_BITS):
        (seed,) = versions(program, (divisor, divisor), "seed")

        assert abs(1 - Fraction(divisor, 1 << 8) * Fraction(seed, 1 << 8)) < Fraction(1, 13)


def assert_root_reciprocal_is_close(precision: int, radicand: int) -> None:
    """The last Y is below 1/sqrt(X) by a relative error of less than 5 × 2^-F, asked of the squares."""
    fraction_bits = precision + 5
    *_, last = versions(root_program(precision), (radicand,), "reciprocal")
    square = Fraction(radicand, 1 << (precision + 1)) * Fraction(last, 1 << fraction_bits) ** 2

    assert (1 - Fraction(5, 1 << fraction_bits)) ** 2 < square <= 1


@pytest.mark.parametrize("precision", PRECISIONS)
def test_every_root_reciprocal_is_as_close_as_argued(precision: int) -> None:
    """Whatever the radicand, Newton's steps end as near to 1/sqrt(X) as the docstring argues."""
    for radicand in range(1 << (precision - 1), 1 << (precision + 1)):
        assert_root_reciprocal_is_close(precision, radicand)


@pytest.mark.parametrize("precision", LARGER_PRECISIONS)
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_root_reciprocals_of_larger_precisions_are_as_close_as_argued(
    precision: int, data: st.DataObject
) -> None:
    """The bound on the reciprocal of the root holds in the precisions people use."""
    radicand = data.draw(st.integers(1 << (precision - 1), (1 << (precision + 1)) - 1))

    assert_root_reciprocal_is_close(precision, radicand)


@pytest.mark.parametrize("precision", LARGER_PRECISIONS)
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_a_root_needs_one_correction_at_most(precision: int, data: st.DataObject) -> None:
    """Before it is corrected, the root is right or one too small."""
    radicand = data.draw(st.integers(1 << (precision - 1), (1 << (precision + 1)) - 1))
    first, *_ = versions(root_program(precision), (radicand,), "root")

    assert isqrt(radicand << (precision + 1)) - first in (0, 1)
