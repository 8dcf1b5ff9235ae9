"""Unpacked operands stand for the same number as their encoding."""

from __future__ import annotations

from fractions import Fraction

import pytest

from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE, Options
from softfloat_py.routines import unpacking
from softfloat_py.routines.language import Bits

TINY = Format("e3p4", exponent_bits=3, precision=4)
FINITE = [bits for bits in range(1 << TINY.width) if TINY.is_finite(bits)]


def value_of(parts: unpacking.Unpacked) -> Fraction:
    """The number that sign, exponent (two's complement if wider than the field) and significand mean."""
    exponent = parts.exponent.value
    if parts.exponent.width > TINY.exponent_bits and exponent >> (parts.exponent.width - 1):
        exponent -= 1 << parts.exponent.width
    magnitude = parts.significand.value * Fraction(2) ** (exponent - TINY.bias - TINY.trailing_bits)
    return -magnitude if parts.sign else magnitude


@pytest.mark.parametrize("bits", FINITE, ids=hex)
def test_parts_make_up_the_number(bits: int) -> None:
    """Sign, exponent and significand of every finite encoding make up its value."""
    assert TINY.decode(bits) == value_of(unpacking.unpack(Bits(bits, TINY.width), TINY, COMPLETE))


@pytest.mark.parametrize("bits", [bits for bits in FINITE if TINY.decode(bits)], ids=hex)
def test_parts_with_a_leading_one_make_up_the_number(bits: int) -> None:
    """Shifted up to its leading one, a subnormal number still has its value."""
    parts = unpacking.unpack_with_leading_one(Bits(bits, TINY.width), TINY, COMPLETE)

    assert TINY.decode(bits) == value_of(parts)
    assert TINY.precision == parts.significand.value.bit_length()


@pytest.mark.parametrize("bits", [1, TINY.leading_one - 1, TINY.sign_bit | 3], ids=hex)
def test_flushed_subnormal_is_a_zero(bits: int) -> None:
    """Where subnormal numbers are flushed, they unpack as zeros of their sign."""
    parts = unpacking.unpack(Bits(bits, TINY.width), TINY, Options(subnormal_operands=False))

    assert (bits >> (TINY.width - 1), 0) == (parts.sign.value, parts.significand.value)


def test_reserved_exponents_are_found_by_one_comparison() -> None:
    """Exactly the exponent fields 0 and all ones are reserved."""
    fields = range(1 << TINY.exponent_bits)
    found = [field for field in fields if unpacking.is_reserved(Bits(field, TINY.exponent_bits), TINY)]

    assert [0, TINY.largest_exponent_field] == found
