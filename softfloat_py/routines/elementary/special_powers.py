"""What powers and roots share where an operand is special."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    constant,
    field,
    look_up,
    resize,
    select,
    shift_left,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.special_operands import infinity_or_nan, zero
from softfloat_py.routines.tables import Table


def zero_or_infinity(sign: Bits, is_zero: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A zero, or else an infinity."""
    return select(is_zero, zero(sign, fmt), infinity_or_nan(sign, fmt, options))


def zero_or_pole(sign: Bits, is_zero: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A zero, or else an infinity by division by zero (clause 7.3)."""
    signal(Flags.DIVISION_BY_ZERO, ~is_zero)
    return zero_or_infinity(sign, is_zero, fmt, options)


class Wholeness(NamedTuple):
    """Whether a number is whole, whether it is that and odd, and its size where it is whole and below 2^p."""

    whole: Bits
    odd: Bits
    below_limit: Bits
    size: Bits


def wholeness(exponent: Bits, significand: Bits, bias: int, fmt: BinaryFormat) -> Wholeness:
    """That of a number other than zero, whose exponent has this bias and is not negative with it."""
    last = bias + fmt.trailing_bits  # the exponent with which the last bit is worth 1
    is_fraction, is_large = exponent < bias, exponent > last
    places = subtract_modulo(last, exponent, max(exponent.width, last.bit_length()))
    places = resize(
        select(is_fraction | is_large, constant(0, places.width), places), fmt.precision.bit_length()
    )
    size = significand >> places
    has_no_fraction = ~is_fraction & (shift_left(size, places, fmt.precision) == significand)
    below_limit = has_no_fraction & ~is_large
    return Wholeness(is_large | has_no_fraction, below_limit & field(size, 0, 1), below_limit, size)


LEAST = 3  # the exponents from which on powers are looked at


@cache
def largest_factors(bits: int) -> tuple[int, ...]:
    """The largest whole numbers whose third, fourth... powers have so many bits, those from 3 on."""
    factors: list[int] = []
    while (factor := whole_root(1 << bits, LEAST + len(factors))) >= 3:
        factors.append(factor)
    return tuple(factors)


def whole_root(power: int, degree: int) -> int:
    """The largest whole number whose power is below another."""
    root = 0
    for place in range(power.bit_length() // degree, -1, -1):
        larger = root | 1 << place
        if larger**degree < power:
            root = larger
    return root


def is_short_power(significand: Bits, size: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether a power of a number, to a whole exponent from 3 on, has no more than p + 1 bits; that is so for
    its odd factor, which is the significand without the zeros at its end.
    """
    factors = largest_factors(fmt.precision + 1)
    if not factors:
        return constant(0, 1)
    lowest = significand & subtract_modulo(0, significand, fmt.precision)
    zeros_at_end = fmt.precision - 1 - leading_zeros(lowest, options)
    index = subtract_modulo(size, LEAST, size.width)
    is_listed = index < len(factors)
    index = resize(select(is_listed, index, constant(0, size.width)), (len(factors) - 1).bit_length() or 1)
    return is_listed & ((significand >> zeros_at_end) <= look_up(Table(factors, name="short_factors"), index))
