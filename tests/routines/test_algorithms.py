"""Choices of algorithm: each does what its argument says, and changes no bit of a result and no flag."""

from __future__ import annotations

from collections import Counter
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64, binary128
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, Division, LeadingZeros, Options, Product, SquareRoot, Tables
from softfloat_py.routines.division import quotient_in_radix_4
from softfloat_py.routines.language import Bits
from softfloat_py.routines.leading_zeros import zeros_by_halving
from softfloat_py.routines.partial_products import product_of_halves
from softfloat_py.uses import Use
from tests import strategies
from tests.engines.drawing import operands_of
from tests.engines.running import run_on_arrays, run_plain, run_stepwise, used

PRECISIONS = [2, 3, 4, 5, 6, 7]
LARGER_PRECISIONS = [8, 11, 24, 53, 64, 113]


def numbers(width: int) -> st.SearchStrategy[int]:
    """Any number of up to so many bits, short ones as often as long ones."""
    return st.integers(0, width).flatmap(lambda bits: st.integers(0, (1 << bits) - 1))


# -- leading zeros -------------------------------------------------------------------------------------------


def assert_zeros_are_counted(value: int, width: int) -> None:
    """Halving finds the width less the bit length, in bits that hold the width."""
    zeros = zeros_by_halving(Bits(value, width))

    assert (width - value.bit_length(), width.bit_length()) == (zeros.value, zeros.width)


@pytest.mark.parametrize("width", range(1, 11))
def test_halving_counts_the_zeros_of_every_value(width: int) -> None:
    """Whatever the width, a power of two or not, all values have their zeros counted, zero too."""
    for value in range(1 << width):
        assert_zeros_are_counted(value, width)


@settings(max_examples=200, deadline=None)
@given(data=st.data(), width=st.integers(11, 256))
def test_halving_counts_the_zeros_of_wide_values(data: st.DataObject, width: int) -> None:
    """Values wider than any word have their zeros counted."""
    assert_zeros_are_counted(data.draw(numbers(width)), width)


# -- products ------------------------------------------------------------------------------------------------


def assert_product_is_exact(x: int, x_width: int, y: int, y_width: int) -> None:
    """Partial products add up to the product, as wide as both factors."""
    product = product_of_halves(Bits(x, x_width), Bits(y, y_width))

    assert (x * y, x_width + y_width) == (product.value, product.width)


@pytest.mark.parametrize("y_width", range(1, 6))
@pytest.mark.parametrize("x_width", range(1, 6))
def test_partial_products_add_up_for_every_pair(x_width: int, y_width: int) -> None:
    """All factors of odd, even and different widths give the exact product."""
    for x in range(1 << x_width):
        for y in range(1 << y_width):
            assert_product_is_exact(x, x_width, y, y_width)


@pytest.mark.parametrize("width", LARGER_PRECISIONS)
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_partial_products_of_wide_factors_add_up(data: st.DataObject, width: int) -> None:
    """Factors of the precisions people use give the exact product."""
    assert_product_is_exact(data.draw(numbers(width)), width, data.draw(numbers(width)), width)


# -- quotients -----------------------------------------------------------------------------------------------


def assert_quotient_is_rounded_down(dividend: int, divisor: int, precision: int) -> None:
    """Radix 4 finds the first p + 1 bits of a quotient in [1, 2), and whether anything remains."""
    fmt = Format(f"p{precision}", exponent_bits=8, precision=precision)
    delivered = quotient_in_radix_4(Bits(dividend, precision + 1), Bits(divisor, precision), fmt)
    quotient, remainder = divmod(dividend << precision, divisor)

    assert (quotient << 1 | (remainder != 0), precision + 2) == (delivered.value, delivered.width)


@pytest.mark.parametrize("precision", PRECISIONS)
def test_every_quotient_in_radix_4_is_rounded_down(precision: int) -> None:
    """Even and odd precisions get their bits for every dividend and divisor there is."""
    for divisor in range(1 << (precision - 1), 1 << precision):
        for dividend in range(divisor, 2 * divisor):
            assert_quotient_is_rounded_down(dividend, divisor, precision)


@pytest.mark.parametrize("precision", LARGER_PRECISIONS)
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_quotients_in_radix_4_of_larger_precisions_are_rounded_down(
    data: st.DataObject, precision: int
) -> None:
    """The precisions people use get their bits."""
    divisor = data.draw(st.integers(1 << (precision - 1), (1 << precision) - 1))

    assert_quotient_is_rounded_down(data.draw(st.integers(divisor, 2 * divisor - 1)), divisor, precision)


# -- whole operations ----------------------------------------------------------------------------------------

HALVING = Options(leading_zeros=LeadingZeros.HALVING)
PARTIAL = Options(product=Product.PARTIAL)
RADIX_4 = Options(division=Division.RADIX_4)
BY_DIVIDER = Options(division=Division.BY_DIVIDER)
DIVISION_BY_RECIPROCAL = Options(division=Division.RECIPROCAL)
ROOT_BY_RECIPROCAL = Options(square_root=SquareRoot.RECIPROCAL)
ROOT_WITHOUT_TABLES = Options(square_root=SquareRoot.RECIPROCAL, tables=Tables.NONE)

# Each choice of algorithm beside the operations that it changes.
CHOICES = [
    *((name, HALVING) for name in ("addition", "subtraction", "multiplication", "division", "square_root")),
    ("multiplication", PARTIAL),
    ("division", RADIX_4),
    ("division", DIVISION_BY_RECIPROCAL),
    ("division", BY_DIVIDER),
    *((name, ROOT_BY_RECIPROCAL) for name in ("square_root", "r_sqrt", "hypot")),
    *((name, HALVING) for name in ("r_sqrt", "hypot")),
    *((name, ROOT_WITHOUT_TABLES) for name in ("r_sqrt", "hypot")),
]
SIX_BITS = Format("e3p3", exponent_bits=3, precision=3)
FORMATS = [binary16, binary32, binary64, binary128]
each_choice = pytest.mark.parametrize(
    ("name", "options"), CHOICES, ids=lambda value: getattr(value, "name", value)
)


def assert_same_on_arrays(by_default: Use, by_choice: Use, *columns: NDArray[Any]) -> None:
    """Two uses of an operation deliver the same encodings and flags, element by element."""
    for rounding in Rounding:
        expected, flags = run_on_arrays(by_default, rounding, *columns)
        result, raised = run_on_arrays(by_choice, rounding, *columns)

        assert expected.tolist() == result.tolist()
        assert flags.tolist() == raised.tolist()


@each_choice
def test_every_operand_gives_the_same_bits(name: str, options: Options) -> None:
    """On all operands of a small format, in all directions, results and flags are those of the default."""
    every = np.arange(1 << SIX_BITS.width, dtype=np.uint64)
    columns = np.meshgrid(*[every] * OPERATIONS[name].arity)

    assert_same_on_arrays(
        used(name, SIX_BITS), used(name, SIX_BITS, options), *(column.ravel() for column in columns)
    )


@pytest.mark.parametrize(
    ("name", "parameter", "width"),
    [("convert_from_integer", 8, 8), ("convert_format", binary16, SIX_BITS.width)],
    ids=lambda value: getattr(value, "name", value),
)
def test_every_converted_operand_gives_the_same_bits(name: str, parameter: Any, width: int) -> None:
    """Integers and subnormal numbers are converted the same when their zeros are counted by halving."""
    every = np.arange(1 << width, dtype=np.uint64)

    assert_same_on_arrays(
        used(name, SIX_BITS, parameter=parameter), used(name, SIX_BITS, HALVING, parameter), every
    )


@pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)
@each_choice
@settings(max_examples=25, deadline=None)
@given(data=st.data(), rounding=strategies.roundings())
def test_wider_formats_give_the_same_bits(
    data: st.DataObject, name: str, options: Options, fmt: Format, rounding: Rounding
) -> None:
    """In the formats people use, up to 128 bits, results and flags are those of the default."""
    operands = data.draw(operands_of(used(name, fmt)))

    assert (
        run_plain(used(name, fmt), rounding, operands).outcome
        == run_plain(used(name, fmt, options), rounding, operands).outcome
    )


# -- what a choice does instead ------------------------------------------------------------------------------

# 2.75 and 2.625 in binary32, so near each other that their difference has leading zeros.
CREST, TROUGH = 0x40300000, 0x40280000


def counted(name: str, options: Options, kind: str) -> Counter[tuple[int, int | None]]:
    """How often steps of a kind ran in one operation on the two numbers, by width and feature."""
    run = run_stepwise(used(name, binary32, options), Rounding.TIES_TO_EVEN, (CREST, TROUGH))
    assert run.counts is not None
    found: Counter[tuple[int, int | None]] = Counter()
    for entry, times in run.counts.items():
        if entry.kind == kind:
            found[entry.width, entry.feature] += times
    return found


def test_halving_needs_no_step_that_counts_zeros() -> None:
    """A difference with leading zeros has them counted by one step, or by halving without it."""
    assert 1 == counted("subtraction", COMPLETE, "count_leading_zeros").total()
    assert 0 == counted("subtraction", HALVING, "count_leading_zeros").total()


def test_partial_products_are_of_half_the_width() -> None:
    """One product of 24 bits becomes four of 12."""
    wide = Counter(width for width, _ in counted("multiplication", COMPLETE, "multiply").elements())
    halves = Counter(width for width, _ in counted("multiplication", PARTIAL, "multiply").elements())

    assert (Counter({24: 1}), Counter({12: 4})) == (wide, halves)


def test_radix_4_takes_half_the_rounds() -> None:
    """For 24 bits, quotient and remainder are shifted by two places in each of 12 rounds."""
    by_two = {
        width: times
        for (width, places), times in counted("division", RADIX_4, "shift_left").items()
        if places == 2
    }

    # Quotient: 25 bits and two. Remainder: 24 bits and two.
    assert {27: 12, 26: 12} == by_two
