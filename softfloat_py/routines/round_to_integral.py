"""Rounding to an integer in the same format (IEEE 754-2019, clauses 5.3.1 and 5.9).

A number below one in magnitude becomes zero or one; the first bit worth half and the rest as a sticky bit
decide. A larger one has its fraction in the lowest bits of the encoding, as many as its exponent leaves
below the point. They are shifted out, what stays is rounded, and shifted back with zeros below. The exponent
field rides along above the significand, so that a carry out of rounding moves it up as it does in packing
(see rounding). For a number from 1 to 2 the lowest bit that stays is the lowest of the exponent field, which
then holds the bias: an odd number, and so is the one that it stands for.

No flag is raised but by round_to_integral_exact, which signals inexact. Zeros keep their sign, and a result
of zero has the operand's (clause 6.3). A format whose largest number is no integer, as where the precision
exceeds emax + 1, ends below the integer that some of its numbers round to, and has an overflow there like any
other. No format of the standard is so short of exponents.
"""

from __future__ import annotations

from softfloat_py.environment import DIRECTION_BITS, Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    constant,
    field,
    phase,
    resize,
    select,
    shift_left,
    signal,
)
from softfloat_py.routines.rounding import rounded_up_or_down, shift_right_sticky, signal_overflow
from softfloat_py.routines.special_operands import is_nan, nan_of_one, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    is_special,
    magnitude_of,
    sign_of,
)

EXTRA = 2  # a bit worth half a unit and the sticky bit


def round_to_integral(x: Bits, fmt: BinaryFormat, options: Options, rounding: Rounding) -> Bits:
    """x rounded to an integer, always in the same direction. Signals invalid operation (signalling NaN), or
    overflow and inexact where the format ends below that integer.
    """
    return integral(x, constant(rounding, DIRECTION_BITS), fmt, options, exact=False)


def round_to_integral_exact(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x rounded to an integer in the direction of the environment. Signals invalid operation (signalling
    NaN), and inexact where x is no integer; overflow too where the format ends below that integer. C's rint.
    """
    return integral(x, direction, fmt, options, exact=True)


def integral(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options, exact: bool) -> Bits:
    """x rounded to an integer of the same format; `exact` says that a lost fraction is signalled."""
    phase("unpack")
    sign = sign_of(x, fmt)
    exponent = exponent_field(x, fmt)
    first_integral = fmt.bias + fmt.trailing_bits
    if first_integral <= fmt.largest_exponent_field:
        if exponent >= first_integral:
            return without_fraction(x, fmt, options)
    elif options.special:
        if is_special(x, fmt):
            return without_fraction(x, fmt, options)
    if exponent < fmt.bias:
        return below_one(x, sign, direction, fmt, options, exact)

    phase("align")
    fraction_bits = constant(first_integral, first_integral.bit_length()) - exponent
    fraction_bits = resize(fraction_bits, fmt.trailing_bits.bit_length())
    shifted = shift_right_sticky(magnitude_of(x, fmt) << EXTRA, fraction_bits)
    phase("round")
    if exact:
        signal(Flags.INEXACT, field(shifted, 0, EXTRA) != 0)
    rounded = rounded_up_or_down(shifted, EXTRA, sign, direction)
    phase("pack")
    encoded = shift_left(rounded, fraction_bits, fmt.width)
    if first_integral << fmt.trailing_bits >= fmt.first_special:
        if encoded >= fmt.first_special:
            return signal_overflow(sign, direction, fmt, options)
    return concatenate(sign, resize(encoded, fmt.width - 1))


def without_fraction(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A number too large to have a fraction, or an infinity, as it is; of a NaN what there is for it."""
    phase("special operands")
    if options.special:
        if is_nan(x, fmt):
            return nan_of_one(x, fmt, options)
    return x


def below_one(x: Bits, sign: Bits, direction: Bits, fmt: BinaryFormat, options: Options, exact: bool) -> Bits:
    """Zero or one, with the sign of x."""
    if counts_as_zero(x, fmt, options):
        phase("special operands")
        return zero(sign, fmt)
    phase("round")
    if exact:
        signal(Flags.INEXACT)
    magnitude = magnitude_of(x, fmt)
    half = half_of_one(fmt)
    extra_bits = concatenate(magnitude >= half, magnitude != half)
    rounded = rounded_up_or_down(resize(extra_bits, 1 + EXTRA), EXTRA, sign, direction)
    phase("pack")
    one = constant(fmt.one, fmt.width - 1)
    return concatenate(sign, select(rounded != 0, one, constant(0, fmt.width - 1)))


def half_of_one(fmt: BinaryFormat) -> int:
    """Encoding of 1/2, which is subnormal where 1 is the smallest normal number."""
    return (fmt.bias - 1) << fmt.trailing_bits if fmt.bias > 1 else fmt.leading_one >> 1
