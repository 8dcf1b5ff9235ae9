"""x^y, pow and powr of IEEE 754-2019, clause 9.2.

x^y = 2^(y log2 |x|), which `power_core` makes of a logarithm and says why it is right. The sign is that of x
where y is an odd whole number.

Which powers are exact, or the middle between two numbers. Let x be 2^e m, m odd.

- m = 1: x^y = 2^(e y) is a power of two where e y is a whole number, and else irrational.
- m > 1: y must not be negative, for m^y would be the reciprocal of a whole number. With y = k / 2^j, k odd or
  j = 0, x must be a power z^(2^j), since factorisation is unique, and z^k have p + 1 bits at the most.

The accurate phase takes what is within its error of a boundary of rounding as being on it, so no other power
must be that near to one. By chance (`precisions`) none is. Where there is structure, next to 1, let x = 1 + u
and x^y = 1 + v. Then y = log(1 + v) / log(1 + u) = v/u (1 - (v - u)/2 + (v - u)(4 v + u)/12 - ...). The p
bits of y may be the first two terms, and for v = -u/4 the third is zero: the power of x = 1 + u, u = 2^(4 -
p) say, to y = -1/4 - 5/32 u is next to 1 - u/4, by u^4 and less. That is 4 p bits, which the accurate phase
has.

The most usual exact ones do not need it. The first and the second power are made as products, which costs a
comparison. Where the fast phase is uncertain, powers of two, and whole powers with no more than p + 1 bits,
are known to be what it is near to: a table has the largest m for each exponent.

Special operands, by clause 9.2.1 (from memory). A signalling NaN is always invalid. pow:

    pow(x, +-0) = 1, pow(+1, y) = 1: even of a quiet NaN
    pow(-1, +-inf) = 1; pow(x, +inf): +0 for |x| < 1, +inf for |x| > 1; pow(x, -inf): the other way round
    pow(+-0, y): for y < 0 +inf, with division by zero where y is finite, for y > 0 +0; with the sign of x for
        odd whole y
    pow(+-inf, y): for y < 0 +0, for y > 0 +inf; with the sign of x for odd whole y
    pow(x, y): invalid operation for finite x < 0 and finite y that is no whole number

powr, which is e^(y ln x) by definition, has these instead:

    powr(+-0, +-0), powr(+inf, +-0), powr(+1, +-inf), powr(x, y) for x < 0, -inf among them: invalid operation
    powr(+-0, y): for y < 0 +inf, with division by zero where y is finite, for y > 0 +0
    a quiet NaN comes out as one, beside a negative number too, where the clause says nothing
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import logarithm
from softfloat_py.routines.elementary.fixed_point import fitted
from softfloat_py.routines.elementary.logarithm_core import logarithm_of
from softfloat_py.routines.elementary.packed_operands import (
    exponent_of,
    lift,
    packed,
    packed_normal,
    taken_apart,
)
from softfloat_py.routines.elementary.power_core import (
    Of,
    Plan,
    exponent_bits_of,
    plan_of,
    power_of_product,
    precision_of_power,
)
from softfloat_py.routines.elementary.special_powers import (
    is_short_power,
    wholeness,
    zero_or_infinity,
    zero_or_pole,
)
from softfloat_py.routines.elementary.two_phases import Approximation, approximated_to
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    is_nan,
    is_signaling,
    nan_of_two,
    one,
    signal_invalid_operation,
)
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    is_reserved,
    is_special,
    magnitude_of,
    normal_significand,
    sign_of,
)


class Operands(NamedTuple):
    """What a power is computed of: its sign, |x|, the sign of y, and |y|, magnitudes packed."""

    sign: Bits
    x: Bits
    y_sign: Bits
    y: Bits


def pow(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x^y, for x < 0 where y is a whole number. Signals invalid operation (signalling NaN; x < 0 and y no
    whole number), division by zero (x = 0, y < 0), overflow, underflow, inexact.
    """
    phase("unpack")
    operands = Operands(constant(0, 1), packed_normal(x, fmt), sign_of(y, fmt), packed_normal(y, fmt))
    if has_special(x, y, fmt):
        phase("special operands")
        positive, x_sign, y_sign = constant(0, 1), sign_of(x, fmt), sign_of(y, fmt)
        always_one = counts_as_zero(y, fmt, options) | (x == fmt.one)
        if options.special:
            if is_nan(x, fmt) | is_nan(y, fmt):
                if always_one & ~(is_signaling(x, fmt) | is_signaling(y, fmt)):
                    return one(positive, fmt)
                return nan_of_two(x, y, fmt, options)
        if always_one:
            return one(positive, fmt)
        if options.special:
            if is_special(y, fmt):
                if magnitude_of(x, fmt) == fmt.one:
                    return one(positive, fmt)
                return power_to_infinity(x, y_sign, fmt, options)
        y_parts = wholeness(exponent_field(y, fmt), normal_significand(y, fmt), fmt.bias, fmt)
        sign = x_sign & y_parts.odd
        if counts_as_zero(x, fmt, options):
            return zero_or_pole(sign, ~y_sign, fmt, options)
        if options.special:
            if is_special(x, fmt):
                return zero_or_infinity(sign, y_sign, fmt, options)
        if x_sign & ~y_parts.whole:
            return signal_invalid_operation(fmt, options)
        if magnitude_of(x, fmt) == fmt.one:
            return one(sign, fmt)
        phase("unpack")
        operands = Operands(sign, packed(x, fmt, options), y_sign, packed(y, fmt, options))
    return rounded_power(operands, y, direction, fmt, options)


def powr(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x^y as e^(y ln x), x not negative. Signals invalid operation (signalling NaN; x < 0; both zero; +inf to
    the power of 0; 1 to that of an infinity), division by zero (x = 0, y < 0), overflow, underflow, inexact.
    """
    phase("unpack")
    positive = constant(0, 1)
    operands = Operands(positive, packed_normal(x, fmt), sign_of(y, fmt), packed_normal(y, fmt))
    if has_special(x, y, fmt):
        phase("special operands")
        y_sign = sign_of(y, fmt)
        x_is_zero, y_is_zero = counts_as_zero(x, fmt, options), counts_as_zero(y, fmt, options)
        x_is_one, has_no_limit = x == fmt.one, x_is_zero
        if options.special:
            if is_nan(x, fmt) | is_nan(y, fmt):
                return nan_of_two(x, y, fmt, options)
            has_no_limit = x_is_zero | is_special(x, fmt)
        if sign_of(x, fmt) & ~x_is_zero | has_no_limit & y_is_zero:
            return signal_invalid_operation(fmt, options)
        if options.special:
            if is_special(y, fmt):
                if x_is_one:
                    return signal_invalid_operation(fmt, options)
                return power_to_infinity(x, y_sign, fmt, options)
        if x_is_one | y_is_zero:
            return one(positive, fmt)
        if x_is_zero:
            return zero_or_pole(positive, ~y_sign, fmt, options)
        if options.special:
            if is_special(x, fmt):
                return zero_or_infinity(positive, y_sign, fmt, options)
        phase("unpack")
        operands = Operands(positive, packed(x, fmt, options), y_sign, packed(y, fmt, options))
    return rounded_power(operands, y, direction, fmt, options)


def has_special(x: Bits, y: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x may be no normal number, or is negative or 1, or y may be no normal number."""
    is_no_number = is_reserved(exponent_field(x, fmt), fmt) | is_reserved(exponent_field(y, fmt), fmt)
    return is_no_number | sign_of(x, fmt) | (x == fmt.one)


def power_to_infinity(x: Bits, y_sign: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """|x|, other than 1, to the power of an infinity."""
    is_below_one = magnitude_of(x, fmt) < fmt.one
    return zero_or_infinity(constant(0, 1), y_sign ^ is_below_one, fmt, options)


def rounded_power(o: Operands, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """|x|^y with a sign, rounded; x is neither zero nor 1, y is not zero and comes as it is too."""
    precision = precision_of_power(fmt, options, 2, 0)
    of = Of(precision, logarithm.plan_of, exponent_bits_of(fmt, precision, fmt.bias + fmt.precision))
    is_second = y == fmt.one + fmt.leading_one
    if (y == fmt.one) | is_second:
        value = first_or_second_power(o.sign, o.x, is_second, of, fmt)
    else:
        value = approximated_to(precision, power, o, plan_of, of, fmt, options, True, is_exact)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def power(o: Operands, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """|x|^y: the kernel of these functions."""
    # the exponent of y is biased, which is taken from that of the logarithm
    found = logarithm_of_packed(o.x, -fmt.bias, plan, fmt, options)
    y = taken_apart(o.y, o.y_sign, 0, plan.exponent_bits, fmt)
    return power_of_product(o.sign, found, y, plan, fmt)


def is_exact(o: Operands, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether |x|^y is known to be exact, or the middle of two numbers: a power of two, or a short one."""
    phase("exact")
    y = wholeness(exponent_of(o.y, fmt), normal_significand(o.y, fmt), fmt.bias + lift(fmt), fmt)
    significand = normal_significand(o.x, fmt)
    is_short = y.below_limit & ~o.y_sign & is_short_power(significand, y.size, fmt, options)
    return y.whole & (significand == fmt.leading_one) | is_short


def logarithm_of_packed(
    x: Bits, offset: int, plan: Plan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """log2 of a packed magnitude, `offset` added to its exponent."""
    number = taken_apart(x, constant(0, 1), -fmt.bias, plan.exponent_bits, fmt)
    significand = number.significand << (plan.logarithm.significand_bits - fmt.precision)
    return logarithm_of(number.exponent, significand, offset, plan.logarithm, options)


def first_or_second_power(sign: Bits, x: Bits, second: Bits, of: Of, fmt: BinaryFormat) -> Approximation:
    """|x| or its square, exact but for a sticky bit, with as many bits as the fast phase delivers."""
    phase("multiply")
    number = taken_apart(x, sign, 0, of.exponent_bits, fmt)
    factor, exponent_less_one = constant(fmt.leading_one, fmt.precision), number.exponent
    if second:
        factor = number.significand
        exponent_less_one = add_modulo(number.exponent, number.exponent, of.exponent_bits)
        exponent_less_one = subtract_modulo(exponent_less_one, fmt.bias, of.exponent_bits)
    product = number.significand * factor
    phase("normalise")
    below_top = ~field(product, product.width - 1, 1)
    product = shift_left(product, below_top, product.width)
    exponent_less_one = subtract_modulo(exponent_less_one, below_top, of.exponent_bits)
    return Approximation(sign, exponent_less_one, fitted(product, of.precision.fast + 1))
