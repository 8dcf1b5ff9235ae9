"""Results that are known without being computed, as approximations: next to a number, next to the argument,
or beyond the range.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.routines.elementary.two_phases import Approximation
from softfloat_py.routines.exponent_range import overflowing_exponent_less_one
from softfloat_py.routines.language import Bits, constant, resize, select, subtract_modulo
from softfloat_py.routines.unpacking import Unpacked


def least_exponent(fmt: BinaryFormat) -> int:
    """The biased exponent below which x^2 is less than 2^-p: there |x| < 2^-(p/2)."""
    return fmt.bias - (fmt.precision + 1) // 2


def next_to_one(less: Bits, bits: int, exponent_bits: int, fmt: BinaryFormat) -> Approximation:
    """1 and a little, or 1 less a little: less than the boundary of rounding next to 1 is away from it."""
    exponent_less_one = subtract_modulo(fmt.bias - 1, less, exponent_bits)
    more = constant((1 << bits) | 1, bits + 1)
    significand = select(less, constant((2 << bits) - 1, bits + 1), more)
    return Approximation(constant(0, 1), exponent_less_one, significand)


def beyond_range(below: Bits, bits: int, exponent_bits: int, fmt: BinaryFormat) -> Approximation:
    """A positive number larger than all of the format, or smaller than all, by far."""
    large = constant(overflowing_exponent_less_one(fmt), exponent_bits)
    small = constant(3 << (exponent_bits - 2), exponent_bits)
    significand = constant((1 << bits) | 1, bits + 1)
    return Approximation(constant(0, 1), select(below, small, large), significand)


def next_to_argument(
    x: Unpacked, less: Bits, bits: int, exponent_bits: int, fmt: BinaryFormat
) -> Approximation:
    """x and a little, or x less a little, in magnitude; x being below 1. By less than the boundary of
    rounding next to it is away.
    """
    below_one = subtract_modulo(fmt.bias - 1, x.exponent, x.exponent.width)
    exponent_less_one = subtract_modulo((fmt.bias - 2) % (1 << exponent_bits), below_one, exponent_bits)
    behind = bits + 1 - fmt.precision
    significand = (x.significand << behind) | 1
    if less:
        if x.significand == fmt.leading_one:
            exponent_less_one = subtract_modulo(exponent_less_one, 1, exponent_bits)
            significand = constant((2 << bits) - 1, bits + 1)
        else:
            significand = resize((x.significand << behind) - 1, bits + 1)
    return Approximation(x.sign, exponent_less_one, significand)
