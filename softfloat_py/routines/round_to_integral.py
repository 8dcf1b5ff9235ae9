"""Rounding to an integer in the same format (IEEE 754-2019, clauses 5.3.1 and 5.9).

A number below one in magnitude becomes zero or one: its sign decides, or whether it lies above one half. A
larger one has its fraction in the lowest bits of the encoding, as many as its exponent leaves below the
point. An increment is added that carries out of them exactly when the magnitude is to grow: half a unit for
half or more, all bits of the fraction for anything but zero (see rounding). Then the fraction is cleared.
Ties to even adds half a unit too. That leaves a fraction of zero in a tie, and only there; then the lowest
bit that stays is cleared, which undoes the carry if that made an even number odd.

The exponent field rides along above the significand, so that a carry moves it up as it does in packing, and
so does the sign, which no carry reaches. For a number from 1 to 2 the lowest bit that stays is the lowest of
the exponent field, which then holds the bias: an odd number, and so is the one that it stands for.

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
    add_modulo,
    constant,
    phase,
    resize,
    select,
    signal,
)
from softfloat_py.routines.rounding import points_away, signal_overflow
from softfloat_py.routines.special_operands import is_nan, nan_of_one
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    is_special,
    magnitude_of,
    sign_of,
)


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

    phase("round")
    places = resize(exponent - fmt.bias, fmt.trailing_bits.bit_length())
    fraction = constant(fmt.leading_one - 1, fmt.precision) >> places
    if exact:
        signal(Flags.INEXACT, (x & fraction) != 0)
    if first_integral << fmt.trailing_bits < fmt.first_special:
        return rounded_above(x, fraction, sign, direction)
    magnitude = resize(magnitude_of(x, fmt), fmt.width)
    encoded = rounded_above(magnitude, fraction, sign, direction)
    if encoded >= fmt.first_special:
        return signal_overflow(sign, direction, fmt, options)
    phase("pack")
    return encoded | x & fmt.sign_bit


def rounded_above(x: Bits, fraction: Bits, sign: Bits, direction: Bits) -> Bits:
    """An encoding, or a magnitude with room for a carry, rounded above the bits set in `fraction`."""
    half = fraction ^ fraction >> 1
    if direction == Rounding.TIES_TO_EVEN:
        x = add_modulo(x, half, x.width)
        if (x & fraction) == 0:
            # A tie: the bit above is cleared, in place of those that are clear already.
            fraction = resize(fraction + 1, fraction.width)
    elif direction == Rounding.TIES_TO_AWAY:
        x = add_modulo(x, half, x.width)
    else:
        away = points_away(sign, direction)
        x = add_modulo(x, select(away, fraction, constant(0, fraction.width)), x.width)
    return x & ~resize(fraction, x.width)


def without_fraction(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """A number too large to have a fraction, or an infinity, as it is; of a NaN what there is for it."""
    phase("special operands")
    if options.special:
        if is_nan(x, fmt):
            return nan_of_one(x, fmt, options)
    return x


def below_one(x: Bits, sign: Bits, direction: Bits, fmt: BinaryFormat, options: Options, exact: bool) -> Bits:
    """Zero or one, with the sign of x."""
    phase("below one")
    half = half_of_one(fmt)
    if half < fmt.smallest_normal and not options.subnormal_operands:
        return x & fmt.sign_bit
    signals = exact and options.flags
    if signals:
        if counts_as_zero(x, fmt, options):
            return counted_zero(x, fmt, options)
        signal(Flags.INEXACT)
    magnitude = magnitude_of(x, fmt)
    if direction == Rounding.TIES_TO_EVEN:
        grows = magnitude > half
    elif direction == Rounding.TIES_TO_AWAY:
        grows = magnitude >= half
    else:
        if not signals:
            if direction != Rounding.TOWARD_ZERO:
                if counts_as_zero(x, fmt, options):
                    return counted_zero(x, fmt, options)
        grows = points_away(sign, direction)
    if grows:
        return x & fmt.sign_bit | fmt.one
    return x & fmt.sign_bit


def counted_zero(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The zero that x counts as: x itself, unless it may be a subnormal number that is flushed."""
    return x if options.subnormal_operands else x & fmt.sign_bit


def half_of_one(fmt: BinaryFormat) -> int:
    """Encoding of 1/2, which is subnormal where 1 is the smallest normal number."""
    return (fmt.bias - 1) << fmt.trailing_bits if fmt.bias > 1 else fmt.leading_one >> 1
