"""Multiplication (IEEE 754-2019, clause 5.4.1).

Why the result is correctly rounded. With leading ones, both significands lie in [2^(p-1), 2^p), so the exact
product has 2p or 2p - 1 bits; doubled in the second case, it has exactly 2p. Its upper p bits are the
result before rounding, the next is half a unit, and the OR of the rest is the sticky bit: nothing that
rounding looks at is lost.

Zeros, subnormal numbers, infinities and NaNs have a reserved exponent, all zeros or all ones, and are told
from other operands by one test of each. Among them a zero beside a finite number leaves at once: its product
is an exact zero with the sign of any product (clause 6.3). Subnormal numbers get leading ones and go on.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits, add_modulo, field, phase, resize, subtract_modulo
from softfloat_py.routines.partial_products import product
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    infinity_or_nan,
    is_nan,
    nan_of_two,
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


def multiplication(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x × y. Signals invalid operation (signalling NaN, zero × infinity), overflow, underflow, inexact."""
    phase("unpack")
    sign = sign_of(x, fmt) ^ sign_of(y, fmt)
    ex, ey = exponent_field(x, fmt), exponent_field(y, fmt)
    if is_reserved(ex, fmt) | is_reserved(ey, fmt):
        phase("special operands")
        mx, my = magnitude_of(x, fmt), magnitude_of(y, fmt)
        if options.special:
            if is_special_with(ex, mx, fmt) | is_special_with(ey, my, fmt):
                return product_with_special(x, y, sign, fmt, options)
        if counts_as_zero_with(ex, mx, options) | counts_as_zero_with(ey, my, options):
            return zero(sign, fmt)
        phase("unpack")
        a, b = unpack_nonzero_with(ex, x, fmt, options), unpack_nonzero_with(ey, y, fmt, options)
    else:
        a, b = unpack_normal_with(ex, x, fmt), unpack_normal_with(ey, y, fmt)
    return rounded_product(a, b, sign, direction, fmt, options)


def rounded_product(
    a: Unpacked, b: Unpacked, sign: Bits, direction: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """The product of two numbers that are not zero, with this sign; both have leading ones."""
    exponent_less_one, exact = exact_product(a, b, fmt, options)
    phase("normalise")
    significand = merge_lowest(exact, fmt.precision - 2)
    return round_to_format(sign, exponent_less_one, significand, direction, fmt, options)


def exact_product(a: Unpacked, b: Unpacked, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """The exponent, less one, and the 2p bits with a leading one of a product; factors have leading ones."""
    phase("multiply")
    exact = product(a.significand, b.significand, options)
    width = signed_exponent_bits(fmt)
    exponent_less_one = subtract_modulo(add_modulo(a.exponent, b.exponent, width), fmt.bias, width)

    phase("normalise")
    if field(exact, exact.width - 1, 1) == 0:
        exact = resize(exact << 1, 2 * fmt.precision)
        exponent_less_one = subtract_modulo(exponent_less_one, 1, width)
    return exponent_less_one, exact


def merge_lowest(x: Bits, count: int) -> Bits:
    """x without its lowest `count` bits, which are merged into the bit above them as a sticky bit."""
    if count == 0:
        return x
    return (x >> count) | (field(x, 0, count) != 0)


def product_with_special(x: Bits, y: Bits, sign: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The product where an operand is an infinity or a NaN (clauses 6.1, 6.2, 7.2)."""
    if is_nan(x, fmt) | is_nan(y, fmt):
        return nan_of_two(x, y, fmt, options)
    if counts_as_zero(x, fmt, options) | counts_as_zero(y, fmt, options):
        return signal_invalid_operation(fmt, options)
    return infinity_or_nan(sign, fmt, options)
