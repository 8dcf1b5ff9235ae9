"""Which arguments a function is computed for, and these in parts.

An argument whose biased exponent lies from `least` to below `most` is computed with; any other is special, a
zero, or so large or small that the result is known without. Normal numbers are found by one comparison of
exponents. In a format so narrow that subnormal numbers are computed with, `least` is 0 or less: where that is
the exponent of one, those below it are outside too. That of the smallest number is 2 - p.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, constant, resize, select, subtract_modulo, with_point
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    is_special,
    magnitude_of,
    unpack_nonzero_with,
    unpack_normal_with,
)


def is_outside(x: Bits, exponent: Bits, least: int, most: int, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether an argument, whose exponent field is at hand, is none to compute with."""
    end = fmt.largest_exponent_field if fmt.has_infinity else fmt.largest_exponent_field + 1
    if least >= 1 and (most < end or (most == end and fmt.has_infinity)):
        return subtract_modulo(exponent, least, fmt.exponent_bits) >= most - least
    below = is_below(x, exponent, least, fmt, options)
    if most < end:
        return below | (exponent >= most)
    return below | is_special(x, fmt)


def is_below(x: Bits, exponent: Bits, least: int, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether an argument counts as zero, or is less in magnitude than numbers with the exponent `least`."""
    if least >= 1:
        return exponent < least
    if not options.subnormal_operands or least <= 2 - fmt.precision:
        return counts_as_zero(x, fmt, options)
    return magnitude_of(x, fmt) < least_encoding(Fraction(2) ** (least - fmt.bias), fmt)


def farthest_below(first: int, least: int, fmt: BinaryFormat) -> int:
    """How many places the exponent of an argument that is not outside is below `first` at the most."""
    return first - max(least, 2 - fmt.precision)


def unpack_inside(x: Bits, exponent: Bits, least: int, fmt: BinaryFormat, options: Options) -> Unpacked:
    """An argument that is none of these in parts, the exponent a two's complement number."""
    if least >= 1:
        return unpack_normal_with(exponent, x, fmt)
    return unpack_nonzero_with(exponent, x, fmt, options)


def in_fixed_point(significand: Bits, distance: Bits, most: int, bits: int, below: int) -> Bits:
    """A magnitude below 2^-below with `bits` fraction bits, what is behind them cut off: `distance`, of
    `most` at the most, says how many places its leading one is below the first that it may have.
    """
    width = bits - below
    shift = width - significand.width
    first = significand << shift if shift >= 0 else significand >> -shift
    if most >= width:
        distance = select(distance >= width, constant(width - 1, distance.width), distance)
    return with_point(first >> resize(distance, (width - 1).bit_length()), bits)


@cache
def least_encoding(value: Fraction, fmt: BinaryFormat) -> int:
    """The encoding of the smallest positive number that is not below a value; where there is none, the lowest
    magnitude that is no number.
    """
    low, high = 0, fmt.first_special
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if fmt.decode(middle) >= value else (middle + 1, high)
    return low
