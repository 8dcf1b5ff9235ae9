"""Augmented arithmetic (IEEE 754-2019, clause 9.5): a result and the error of it, which together are exact.

The result is rounded to nearest, ties toward zero, whatever the direction of the environment; the error is
the exact result less that. From memory of the clause:

- A tie with what would be the next number above the largest one goes to the largest one.
- Where the first result is a NaN or an infinity, by overflow or otherwise, the second is the same.
- An error of zero has the sign of the result.
- Of a sum, the error is always a number of the format, so nothing is inexact but overflow.
- Of a product, the error is rounded in the same way where it lies below the normal range and the format does
  not hold it. Only then, and by overflow, is the operation inexact; it underflows then.

By this library's convention, an error that is rounded to zero keeps its sign; where the options flush a
result, both are zeros of its sign; where overflow saturates, both are the largest number.

Why a sum is right. As in addition, the larger one comes first and the other is shifted right to its exponent.
For a distance d of p + 2 or more, the smaller one is less than a quarter of the larger one's last place: the
larger one is the nearest number even just below a power of two, and the smaller one is the error. Otherwise
p + 1 more bits hold all of the sum. Its leading one is shifted to the top, as far as the exponent allows; p
bits are kept, and what is left over, or is missing to the next number if that is nearer, is the error.
Rounding adds half a unit less one: it carries for more than half only, so ties go toward zero. A smaller
operand of zero has no case of its own: it goes either way, by its exponent, and is the error or adds nothing.

Why p bits hold the error: of a sum, it is a multiple of the smaller operand's last place and, as the nearest
number is at most as far as the larger operand is, not more than the smaller operand. Of a product of 2p bits,
it is at most half a unit of p of them, 2^(p-1) in its own last place.
"""

from __future__ import annotations

from softfloat_py.environment import DIRECTION_BITS, Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.addition import negated, sum_with_special
from softfloat_py.routines.exact_results import (
    Placed,
    encode_exact,
    is_below_normal_range,
    normalised,
    operand_as_result,
    pack,
)
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    constant,
    field,
    phase,
    resize,
    select,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.multiplication import exact_product, merge_lowest, product_with_special
from softfloat_py.routines.normalisation import with_leading_one
from softfloat_py.routines.rounding import flush_result, shift_right_far, signal_overflow
from softfloat_py.routines.special_operands import zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_reserved,
    is_special,
    magnitude_of,
    sign_of,
    unpack,
    unpack_normal,
    unpack_with_leading_one,
)


def augmented_addition(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """x + y to nearest, ties toward zero, and its error. Signals invalid operation (signalling NaN,
    infinity - infinity), overflow; inexact with overflow only.
    """
    if options.special:
        phase("special operands")
        if is_special(x, fmt) | is_special(y, fmt):
            return sums_with_special(x, y, fmt, options)
    phase("order")
    if magnitude_of(x, fmt) < magnitude_of(y, fmt):
        x, y = y, x
    phase("unpack")
    a, b = unpack(x, fmt, options), unpack(y, fmt, options)

    phase("align")
    more = fmt.precision + 1
    distance = a.exponent - b.exponent
    if more < fmt.largest_exponent_field - 1:
        if distance > more:
            return x, error_far_below(a.sign, y, fmt, options)
    larger = a.significand << more
    aligned = (b.significand << more) >> resize(distance, more.bit_length())
    signs_differ = a.sign ^ b.sign
    if signs_differ:
        phase("subtract")
        total = resize(larger - aligned, larger.width + 1)
    else:
        phase("add")
        total = larger + aligned
    if total == 0:
        sign = a.sign & ~signs_differ
        return zero(sign, fmt), zero(sign, fmt)

    phase("normalise")
    exponent_less_one = a.exponent
    if field(total, total.width - 1, 1) == 0:
        total = resize(total << 1, total.width)
        exponent_less_one = exponent_less_one - 1
        if field(total, total.width - 1, 1) == 0:
            total, exponent_less_one = with_leading_one(total, exponent_less_one, options, signed=False)
    exponent_less_one = resize(exponent_less_one, signed_exponent_bits(fmt))
    if not options.subnormal_results:
        if field(total, total.width - 1, 1) == 0:
            return flush_result(a.sign, fmt), zero(a.sign, fmt)
    return result_and_error(Placed(a.sign, exponent_less_one, total), fmt, options, exact_error=True)


def augmented_subtraction(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """x - y, that is x + (-y), to nearest, ties toward zero, and its error. Signals as augmented_addition."""
    phase("negate")
    return augmented_addition(x, negated(y, fmt, options), fmt, options)


def augmented_multiplication(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """x × y to nearest, ties toward zero, and its error. Signals invalid operation (signalling NaN, zero ×
    infinity), overflow; underflow and inexact where the two are not exactly the product.
    """
    phase("unpack")
    a, b = unpack_normal(x, fmt), unpack_normal(y, fmt)
    sign = a.sign ^ b.sign
    if is_reserved(a.exponent, fmt) | is_reserved(b.exponent, fmt):
        phase("special operands")
        if options.special:
            if is_special(x, fmt) | is_special(y, fmt):
                return both(product_with_special(x, y, sign, fmt, options))
        if counts_as_zero(x, fmt, options) | counts_as_zero(y, fmt, options):
            return zero(sign, fmt), zero(sign, fmt)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)
        b = unpack_with_leading_one(y, fmt, options)

    exponent_less_one, exact = exact_product(a, b, fmt, options)
    if is_below_normal_range(exponent_less_one):
        significand = merge_lowest(exact, fmt.precision - 2)
        result, grew = round_subnormal(sign, exponent_less_one, significand, fmt, options)
        return result, zero(sign ^ grew, fmt)
    return result_and_error(Placed(sign, exponent_less_one, exact), fmt, options, exact_error=False)


def both(x: Bits) -> tuple[Bits, Bits]:
    """The same for result and error."""
    return x, x


def sums_with_special(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """Result and error of a sum where an operand is an infinity or a NaN."""
    first, second = magnitude_of(x, fmt), magnitude_of(y, fmt)
    y_is_larger = first < second
    larger = select(y_is_larger, second, first)
    sign = select(y_is_larger, sign_of(y, fmt), sign_of(x, fmt))
    return both(sum_with_special(x, y, larger, sign, sign_of(x ^ y, fmt), fmt, options))


def error_far_below(sign: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The error of a sum that is the larger operand: the smaller one, or a zero of the sum's sign."""
    if counts_as_zero(y, fmt, options):
        return zero(sign, fmt)
    return operand_as_result(y, fmt, options)


def result_and_error(
    exact: Placed, fmt: BinaryFormat, options: Options, exact_error: bool
) -> tuple[Bits, Bits]:
    """Result and error of an exact number with its leading one on top, unless it is subnormal and of p bits.

    The exponent is less one, and not negative. `exact_error` says that the format holds the error.
    """
    phase("round")
    extra = exact.significand.width - fmt.precision
    half = 1 << (extra - 1)
    rest = field(exact.significand, 0, extra)
    rounded = (exact.significand + (half - 1)) >> extra
    grows = rest > half
    error = select(grows, subtract_modulo(0, rest, extra), rest)

    phase("pack")
    encoded = (resize(exact.exponent_less_one, fmt.exponent_bits + 1) << fmt.trailing_bits) + rounded
    if encoded >= fmt.first_special:
        return both(
            signal_overflow(exact.sign, constant(Rounding.TIES_TO_EVEN, DIRECTION_BITS), fmt, options)
        )
    result = concatenate(exact.sign, resize(encoded, fmt.width - 1))
    if error == 0:
        return result, zero(exact.sign, fmt)
    exponent_less_one = subtract_modulo(exact.exponent_less_one, fmt.precision, exact.exponent_less_one.width)
    sign = exact.sign ^ grows
    if exact_error:
        return result, encode_exact(sign, exponent_less_one, error, fmt, options)
    return result, encode_error(sign, exponent_less_one, error, fmt, options)


def encode_error(
    sign: Bits, exponent_less_one: Bits, magnitude: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """As `encode_exact`, of an error that may have to be rounded below the normal range."""
    parts = normalised(sign, exponent_less_one, magnitude, fmt, options)
    if is_below_normal_range(parts.exponent_less_one):
        return round_subnormal(sign, parts.exponent_less_one, parts.significand << 2, fmt, options)[0]
    return pack(parts, fmt)


def round_subnormal(
    sign: Bits, exponent_less_one: Bits, significand: Bits, fmt: BinaryFormat, options: Options
) -> tuple[Bits, Bits]:
    """A significand of p + 2 bits with its leading one, rounded below the normal range; and whether its
    magnitude grew. Signals inexact and underflow.

    What is inexact here is tiny however that is detected: the error of a product, or what has such an error.
    """
    phase("below normal range")
    if not options.subnormal_results:
        return flush_result(sign, fmt), constant(0, 1)
    distance = subtract_modulo(0, exponent_less_one, exponent_less_one.width)
    shifted = shift_right_far(significand, distance)
    phase("round")
    rest = field(shifted, 0, 2)
    inexact = rest != 0
    signal(Flags.INEXACT, inexact)
    signal(Flags.UNDERFLOW, inexact)
    rounded = (shifted + 1) >> 2
    return concatenate(sign, resize(rounded, fmt.width - 1)), rest == 3
