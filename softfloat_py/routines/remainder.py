"""Remainders: IEEE 754-2019's remainder (clause 5.3.1) and C's fmod. Both are exact.

x - y × n, where n is a whole number near x / y: the nearest one, of two the even one, for the standard's
remainder; the whole part of x / y for C's fmod (ISO C, 7.12.10.1; from memory), here named
`remainder_truncated`.

Why the result is right. With leading ones, let the exponents differ by d. Digits of n are found from the
highest down, d + 1 of them, as in long division: where the divisor is not more than what remains, it is
taken away and the digit is 1; then what remains is doubled. Invariant: what remains is less than twice the
divisor, so that it fits p + 1 bits and a digit is never more than 1. Of n, only the last digit is kept: it
says whether n is odd.

After the last round, twice what remains of x stands beside the divisor, so comparing the two tells whether
more than half of it remains. Then, and for half of it beside an odd n, n + 1 is nearer: what remains is taken
from the divisor and the sign changes. For d = -1 no round is made, and x stands there as if it were doubled.
For a smaller d, x is less than half of y and is the result.

A result is a multiple of the smaller one of both operands' last places and not larger than the operand that
place belongs to, so p bits hold it. A result of zero has the sign of x (clause 5.3.1). Restoring division:
common practice, no source.

The number of rounds is the exponents' distance: one for numbers of a size, but about 2^w where the
operands are as far apart as they can be.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.exact_results import encode_exact, operand_as_result
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    subtract_modulo,
)
from softfloat_py.routines.special_operands import (
    is_infinite,
    is_nan,
    nan_of_two,
    signal_invalid_operation,
    zero,
)
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_reserved,
    is_special,
    unpack_normal,
    unpack_with_leading_one,
)


def remainder(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x - y × n with n the whole number nearest to x / y, even if two are; exact. Signals invalid operation
    (signalling NaN, x infinite, y zero).
    """
    return remainder_of_division(x, y, fmt, options, nearest=True)


def remainder_truncated(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x - y × n with n the whole part of x / y; exact, with the sign of x: C's fmod. Signals invalid
    operation (signalling NaN, x infinite, y zero).

    What is left of a division rounded down has the sign of y: it is this, and where this is not zero and has
    the other sign, this + y, which may be inexact.
    """
    return remainder_of_division(x, y, fmt, options, nearest=False)


def remainder_of_division(x: Bits, y: Bits, fmt: BinaryFormat, options: Options, nearest: bool) -> Bits:
    """Either remainder."""
    phase("unpack")
    a, b = unpack_normal(x, fmt), unpack_normal(y, fmt)
    if is_reserved(a.exponent, fmt) | is_reserved(b.exponent, fmt):
        phase("special operands")
        if options.special:
            if is_special(x, fmt) | is_special(y, fmt):
                return remainder_with_special(x, y, fmt, options)
        if counts_as_zero(y, fmt, options):
            return signal_invalid_operation(fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(a.sign, fmt)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)
        b = unpack_with_leading_one(y, fmt, options)

    phase("reduce")
    rounds = subtract_modulo(a.exponent, b.exponent, signed_exponent_bits(fmt))
    rounds = add_modulo(rounds, 1, signed_exponent_bits(fmt))
    if field(rounds, signed_exponent_bits(fmt) - 1, 1) | constant(not nearest, 1) & (rounds == 0):
        return operand_as_result(x, fmt, options)
    odd = constant(0, 1)
    rest = resize(a.significand, fmt.precision + 1)
    for _ in range(rounds):
        odd = rest >= b.significand
        if odd:
            rest = rest - b.significand
        rest = resize(rest << 1, fmt.precision + 1)

    sign = a.sign
    if nearest:
        phase("nearest multiple")
        if (rest > b.significand) | (rest == b.significand) & odd:
            rest = (b.significand << 1) - rest
            sign = ~sign
    if rest == 0:
        return zero(a.sign, fmt)
    exponent_less_one = subtract_modulo(b.exponent, 1, signed_exponent_bits(fmt))
    return encode_exact(sign, exponent_less_one, rest, fmt, options)


def remainder_with_special(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The remainder where an operand is an infinity or a NaN (clauses 5.3.1, 6.2, 7.2)."""
    if is_nan(x, fmt) | is_nan(y, fmt):
        return nan_of_two(x, y, fmt, options)
    if is_infinite(x, fmt) | counts_as_zero(y, fmt, options):
        return signal_invalid_operation(fmt, options)
    return operand_as_result(x, fmt, options)
