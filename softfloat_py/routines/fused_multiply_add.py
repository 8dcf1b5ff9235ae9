"""Fused multiply-add (IEEE 754-2019, clause 5.4.1): x × y + z, rounded once.

Why the result is correctly rounded. With leading ones, the exact product has 2p bits (doubled where it has
one less, as in multiplication). The addend gets p zeros below it, so that both are significands of 2p bits
with a leading one, and their sum is found as in addition: the one with the larger magnitude comes first,
the other is shifted right to its exponent. One more bit at the end of both is enough here. What the shift
loses is merged into that bit as a sticky bit, and the larger one has a zero there, so that the lowest bit of
a sum or difference is a sticky bit again (`rounding.shift_right_sticky` argues why).

- Equal signs: the sum may be one bit longer; halved, its two lowest bits are merged.
- Different signs, a distance of 0 or 1: nothing is lost, and the difference may lose any number of leading
  bits. A larger distance: at most one leading bit is lost, so after shifting left by one the sticky bit is
  the last but one of 2p + 1 bits. Half a unit of the p bits kept is p places above the last one, which is
  above the sticky bit for every p from 2 up.

At a distance of 2p the smaller one is the sticky bit alone, so no distance needs to be larger. All bits below
the p kept ones and half a unit are then merged for rounding, which does the rest, results below the normal
range included. An exact zero has the sign of clause 6.3.

Exponents are counted from an *origin* so low that those of all products and addends are positive and compare
as unsigned numbers.

Zeros are found among the operands with a reserved exponent, as in multiplication, and leave before anything
is aligned. A product of zero adds nothing to the addend, which is a number of the format and so exact; of two
zeros the sign is that of clause 6.3. An addend of zero leaves the product, rounded as in multiplication: it
is not zero, so its sign stays even where it rounds to zero.

Guard and sticky bits: common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.exact_results import nonzero_as_result
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    field,
    phase,
    resize,
    select,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.multiplication import merge_lowest, rounded_product
from softfloat_py.routines.normalisation import with_carry_within, with_leading_one
from softfloat_py.routines.partial_products import product
from softfloat_py.routines.rounding import round_to_format, shift_right_far
from softfloat_py.routines.special_operands import (
    exact_zero_sum,
    infinity_or_nan,
    is_infinite,
    is_nan,
    nan_of_three,
    signal_invalid_operation,
    zero,
)
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    counts_as_zero_with,
    exponent_field,
    is_reserved,
    is_special_with,
    magnitude_of,
    sign_of,
    unpack_nonzero_with,
    unpack_normal_with,
)


class Summand(NamedTuple):
    """The product or the addend: its sign, its exponent less one as an unsigned number above the origin, and
    a significand of 2p + 1 bits, the highest set, the lowest clear.
    """

    sign: Bits
    exponent_above_origin: Bits
    significand: Bits


def fused_multiply_add(
    x: Bits, y: Bits, z: Bits, direction: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """x × y + z with one rounding. Signals invalid operation (signalling NaN, zero × infinity, infinity -
    infinity), overflow, underflow, inexact. Zero × infinity is invalid beside a quiet NaN too.
    """
    phase("unpack")
    sign = sign_of(x, fmt) ^ sign_of(y, fmt)
    ex, ey, ez = exponent_field(x, fmt), exponent_field(y, fmt), exponent_field(z, fmt)
    if is_reserved(ex, fmt) | is_reserved(ey, fmt) | is_reserved(ez, fmt):
        phase("special operands")
        mx, my, mz = magnitude_of(x, fmt), magnitude_of(y, fmt), magnitude_of(z, fmt)
        if options.special:
            if is_special_with(ex, mx, fmt) | is_special_with(ey, my, fmt) | is_special_with(ez, mz, fmt):
                return fused_with_special(x, y, z, sign, fmt, options)
        if counts_as_zero_with(ex, mx, options) | counts_as_zero_with(ey, my, options):
            return addend_alone(z, sign, direction, fmt, options)
        phase("unpack")
        a, b = unpack_nonzero_with(ex, x, fmt, options), unpack_nonzero_with(ey, y, fmt, options)
        if counts_as_zero_with(ez, mz, options):
            return rounded_product(a, b, sign, direction, fmt, options)
        c = unpack_nonzero_with(ez, z, fmt, options)
    else:
        a, b = unpack_normal_with(ex, x, fmt), unpack_normal_with(ey, y, fmt)
        c = unpack_normal_with(ez, z, fmt)

    phase("multiply")
    exact = product(a.significand, b.significand, options) << 1
    exponent = exponent_of_product(a, b, fmt)
    if field(exact, exact.width - 1, 1) == 0:
        exact = resize(exact << 1, exact.width)
        exponent = subtract_modulo(exponent, 1, signed_exponent_bits(fmt))
    addend = Summand(sign_of(z, fmt), exponent_of_addend(c, fmt), c.significand << (fmt.precision + 1))
    return rounded_sum(Summand(sign, exponent, exact), addend, direction, fmt, options)


def rounded_sum(x: Summand, y: Summand, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x + y rounded."""
    phase("order")
    signs_differ = x.sign ^ y.sign
    sign, exponent, larger = x.sign, x.exponent_above_origin, x.significand
    smaller_exponent, smaller = y.exponent_above_origin, y.significand
    if (exponent < smaller_exponent) | (exponent == smaller_exponent) & (larger < smaller):
        exponent, smaller_exponent = smaller_exponent, exponent
        larger, smaller = smaller, larger
        sign = y.sign

    phase("align")
    distance = exponent - smaller_exponent
    aligned = shift_right_far(smaller, distance)
    exponent_less_one = subtract_modulo(exponent, origin_of(fmt), signed_exponent_bits(fmt))

    if signs_differ:
        phase("subtract")
        significand = larger - aligned
        if significand == 0:
            return exact_zero_sum(direction, fmt)
        phase("normalise")
        if field(significand, significand.width - 1, 1) == 0:
            significand, exponent_less_one = with_leading_one(
                significand, exponent_less_one, options, signed=True
            )
    else:
        phase("add")
        total = larger + aligned
        significand, exponent_less_one = with_carry_within(total, exponent_less_one, signed=True)

    significand = merge_lowest(significand, fmt.precision - 1)
    return round_to_format(sign, exponent_less_one, significand, direction, fmt, options)


def addend_alone(z: Bits, product_sign: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """What a product of zero and a finite addend give: the addend, or a zero by the rules of clause 6.3."""
    sign = sign_of(z, fmt)
    if counts_as_zero(z, fmt, options):
        return zero(select(product_sign ^ sign, direction == Rounding.TOWARD_NEGATIVE, sign), fmt)
    return nonzero_as_result(z, fmt, options)


def origin_of(fmt: BinaryFormat) -> int:
    """What exponents less one are counted from: a product's are at least 4 - 2p - bias, an addend's 1 - p."""
    return fmt.bias + 2 * fmt.precision


def exponent_of_product(a: Unpacked, b: Unpacked, fmt: BinaryFormat) -> Bits:
    """The exponent less one of a product whose significand has its leading one on top, from the origin."""
    width = signed_exponent_bits(fmt)
    return add_modulo(add_modulo(a.exponent, b.exponent, width), origin_of(fmt) - fmt.bias, width)


def exponent_of_addend(c: Unpacked, fmt: BinaryFormat) -> Bits:
    """The exponent less one of an addend, from the origin."""
    return add_modulo(c.exponent, origin_of(fmt) - 1, signed_exponent_bits(fmt))


def fused_with_special(
    x: Bits, y: Bits, z: Bits, product_sign: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """The result where an operand is an infinity or a NaN (clauses 6.1, 6.2, 7.2).

    Whether zero × infinity + a quiet NaN signals is left to the implementation (clause 7.2 c). Here it does,
    as in RISC-V and Arm; x86 does not signal there. The NaN delivered is that of the options in any case.
    (The standard and the ISA manuals from memory.)
    """
    no_product = is_infinite(x, fmt) & counts_as_zero(y, fmt, options) | (
        counts_as_zero(x, fmt, options) & is_infinite(y, fmt)
    )
    if is_nan(x, fmt) | is_nan(y, fmt) | is_nan(z, fmt):
        signal(Flags.INVALID_OPERATION, no_product)
        return nan_of_three(x, y, z, fmt, options)
    product_infinite = is_infinite(x, fmt) | is_infinite(y, fmt)
    signs_differ = product_sign ^ sign_of(z, fmt)
    if no_product | product_infinite & is_infinite(z, fmt) & signs_differ:
        return signal_invalid_operation(fmt, options)
    return infinity_or_nan(select(product_infinite, product_sign, sign_of(z, fmt)), fmt, options)
