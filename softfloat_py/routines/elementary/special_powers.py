"""What powers and roots share where an operand is special."""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    constant,
    field,
    resize,
    select,
    shift_left,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.special_operands import infinity_or_nan, zero
from softfloat_py.routines.unpacking import Unpacked


def one_of(fmt: BinaryFormat) -> int:
    """The encoding of 1."""
    return fmt.bias << fmt.trailing_bits


def one(sign: Bits, fmt: BinaryFormat) -> Bits:
    """1 or -1."""
    return select(sign, constant(one_of(fmt) | fmt.sign_bit, fmt.width), constant(one_of(fmt), fmt.width))


def zero_or_infinity(sign: Bits, is_zero: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A zero, or else an infinity."""
    return select(is_zero, zero(sign, fmt), infinity_or_nan(sign, fmt, options))


def zero_or_pole(sign: Bits, is_zero: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A zero, or else an infinity by division by zero (clause 7.3)."""
    signal(Flags.DIVISION_BY_ZERO, ~is_zero)
    return zero_or_infinity(sign, is_zero, fmt, options)


def wholeness(y: Unpacked, fmt: BinaryFormat) -> tuple[Bits, Bits]:
    """Whether a number other than zero is whole, and whether it is that and odd; of a subnormal one that is
    taken apart as if it were normal too.
    """
    last = fmt.bias + fmt.trailing_bits  # the exponent with which the last bit is worth 1
    below, above = y.exponent < fmt.bias, y.exponent > last
    places = subtract_modulo(last, y.exponent, y.exponent.width)
    places = resize(select(below | above, constant(0, places.width), places), fmt.precision.bit_length())
    shifted = y.significand >> places
    has_no_fraction = shift_left(shifted, places, fmt.precision) == y.significand
    odd = ~(below | above) & has_no_fraction & field(shifted, 0, 1)
    return above | ~below & has_no_fraction, odd
