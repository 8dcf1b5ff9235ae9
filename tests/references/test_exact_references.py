"""The references for integers, neighbours, extremes and orders against MPFR, numpy and their definitions."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64, ofp8_e4m3
from softfloat_py.options import COMPLETE
from tests import strategies
from tests.references import host, integers, multiprecision, predicates, rational

EVEN = Rounding.TIES_TO_EVEN
KNOWN = [binary16, bfloat16, binary32, binary64]
KNOWN_FORMATS = st.sampled_from(KNOWN)
MPFR_ROUNDINGS = st.sampled_from(sorted(multiprecision.DIRECTIONS))
FIVE_BITS = Format("e2p3", exponent_bits=2, precision=3)


def result_of(operation: str, fmt: Format, *operands: int) -> int:
    """The rational reference's result."""
    result, _ = rational.expected(operation, fmt, EVEN, *operands)
    assert isinstance(result, int)
    return result


@pytest.mark.parametrize("operation", sorted(multiprecision.INTEGRAL))
@settings(max_examples=200)
@given(data=st.data(), fmt=KNOWN_FORMATS)
def test_rational_rounding_to_integral_agrees_with_mpfr(
    operation: str, data: st.DataObject, fmt: Format
) -> None:
    """Rational arithmetic and MPFR round to the same integers, in the direction of the name."""
    bits = data.draw(strategies.encodings(fmt))

    assert multiprecision.round_to_integral(operation, fmt, bits) == result_of(operation, fmt, bits)


@settings(max_examples=300)
@given(data=st.data(), fmt=KNOWN_FORMATS, rounding=MPFR_ROUNDINGS)
def test_rational_scaling_agrees_with_mpfr(data: st.DataObject, fmt: Format, rounding: Rounding) -> None:
    """Rational arithmetic and MPFR scale to the same results and flags."""
    bits = data.draw(strategies.encodings(fmt))
    across = fmt.emax - fmt.emin + fmt.precision + 4
    n = data.draw(st.integers(-across, across) | st.integers(-(1 << 20), 1 << 20))

    assert multiprecision.scale_b(fmt, rounding, bits, n) == integers.scale_b(fmt, rounding, bits, n)


@settings(max_examples=200)
@given(data=st.data(), fmt=KNOWN_FORMATS)
def test_rational_exponents_agree_with_mpfr(data: st.DataObject, fmt: Format) -> None:
    """Rational arithmetic and MPFR find the same exponents, of subnormal numbers too."""
    bits = data.draw(strategies.finite_encodings(fmt).filter(lambda bits: bits % fmt.sign_bit))

    assert (multiprecision.log_b(fmt, bits) % (1 << 32), Flags.NONE) == integers.log_b(fmt, bits)


@pytest.mark.parametrize("operation", ["maximum_number", "minimum_number"])
@settings(max_examples=200)
@given(data=st.data(), fmt=KNOWN_FORMATS)
def test_rational_extremes_agree_with_mpfr(operation: str, data: st.DataObject, fmt: Format) -> None:
    """Rational arithmetic and MPFR choose the same operand, the number beside a NaN."""
    x, y = data.draw(strategies.pairs(fmt))

    assert multiprecision.extreme_number(operation, fmt, x, y) == result_of(operation, fmt, x, y)


@pytest.mark.parametrize("operation", ["next_up", "next_down"])
@settings(max_examples=200)
@given(data=st.data(), fmt=KNOWN_FORMATS)
def test_neighbours_agree_with_mpfr(operation: str, data: st.DataObject, fmt: Format) -> None:
    """The next normal number above or below is MPFR's."""
    magnitude = data.draw(st.integers(fmt.smallest_normal + 1, fmt.largest_finite - 1))
    bits = magnitude | data.draw(st.sampled_from([0, fmt.sign_bit]))

    assert multiprecision.neighbour(operation, fmt, bits) == result_of(operation, fmt, bits)


@pytest.mark.parametrize("operation", sorted(host.EXACT))
@pytest.mark.parametrize("fmt", list(host.FLOATS), ids=repr)
def test_rational_arithmetic_agrees_with_the_host(operation: str, fmt: Format) -> None:
    """numpy rounds to integers, finds neighbours and copies signs as the rational reference does."""
    corners = [bits for bits in strategies.corner_encodings(fmt) if not fmt.is_nan(bits)]
    rows = [(x, y)[: host.ARITY[operation]] for x in corners for y in corners]
    columns = [np.array(column, dtype=np.uint64) for column in zip(*rows, strict=True)]

    assert host.expected_array(operation, fmt, *columns).tolist() == [
        result_of(operation, fmt, *row) for row in rows
    ]


@pytest.mark.parametrize("fmt", [FIVE_BITS, ofp8_e4m3], ids=repr)
def test_neighbours_are_those_of_the_definition(fmt: Format) -> None:
    """Above a number comes the least that compares greater (clause 5.3.1), below it the greatest less."""
    numbers = [bits for bits in range(1 << fmt.width) if fmt.is_finite(bits)]
    for bits in numbers:
        value = fmt.decode(bits)
        above = min((v for v in map(fmt.decode, numbers) if v > value), default=None)
        below = max((v for v in map(fmt.decode, numbers) if v < value), default=None)
        for operation, wanted in (("next_up", above), ("next_down", below)):
            if wanted is not None:
                assert wanted == fmt.decode(result_of(operation, fmt, bits))


def test_neighbours_of_zero_have_the_signs_of_the_standard() -> None:
    """Below the smallest positive number comes +0, above the smallest negative one -0 (clause 5.3.1)."""
    assert 0 == result_of("next_down", binary16, 1)
    assert binary16.sign_bit == result_of("next_up", binary16, binary16.sign_bit | 1)


@pytest.mark.parametrize("fmt", [FIVE_BITS, ofp8_e4m3], ids=repr)
def test_total_order_is_an_order(fmt: Format) -> None:
    """All encodings can be put in one row: negative NaNs, numbers by value, positive NaNs (clause 5.10)."""
    every = range(1 << fmt.width)
    row = sorted(every, key=lambda x: sum(result_of("total_order", fmt, y, x) for y in every))
    numbers = [bits for bits in row if not fmt.is_nan(bits)]

    assert all(result_of("total_order", fmt, x, y) for x, y in pairwise(row))
    assert not any(result_of("total_order", fmt, y, x) for x, y in pairwise(row))
    first = row.index(numbers[0])
    assert numbers == row[first : first + len(numbers)]
    values = [fmt.decode(bits) for bits in numbers if fmt.is_finite(bits)]
    assert sorted(values) == values
    assert row.index(fmt.sign_bit) + 1 == row.index(0)


@settings(max_examples=200)
@given(data=st.data(), fmt=KNOWN_FORMATS)
def test_every_encoding_has_the_class_that_the_questions_say(data: st.DataObject, fmt: Format) -> None:
    """The name of a class answers the class questions (clause 5.7.2)."""
    bits = data.draw(strategies.encodings(fmt))
    name = predicates.CLASS_NAMES[result_of("classify", fmt, bits)]
    answers = {
        "is_nan": name.endswith("nan"),
        "is_signaling": name == "signaling nan",
        "is_infinite": name.endswith("infinity"),
        "is_zero": name.endswith("zero"),
        "is_subnormal": name.endswith("subnormal"),
        "is_normal": name.endswith(" normal"),
    }

    assert answers == {question: bool(result_of(question, fmt, bits)) for question in answers}


@settings(max_examples=200)
@given(data=st.data(), fmt=KNOWN_FORMATS, rounding=strategies.roundings())
def test_scaling_there_and_back_changes_no_normal_number(
    data: st.DataObject, fmt: Format, rounding: Rounding
) -> None:
    """A normal number scaled to another normal one and back is itself, and nothing is raised."""
    bits = data.draw(strategies.encodings(fmt).filter(lambda bits: predicates.is_normal(fmt, bits)))
    exponent, _ = integers.log_b(fmt, bits, options=COMPLETE)
    exponent -= (exponent >> 31) << 32
    n = data.draw(st.integers(fmt.emin - exponent, fmt.emax - exponent))
    there, flags = integers.scale_b(fmt, rounding, bits, n)

    assert Flags.NONE == flags
    assert (bits, Flags.NONE) == integers.scale_b(fmt, rounding, there, -n)
