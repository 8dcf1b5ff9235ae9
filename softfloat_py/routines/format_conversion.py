"""Conversion between formats (IEEE 754-2019, clause 5.4.2: convertFormat).

The operand with its leading one, its exponent rebased to the target's bias, is an exact intermediate result;
a target that is wide enough takes it without rounding, any other rounds it as it would a sum.
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import NaNResult, Options
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    concatenate,
    constant,
    field,
    phase,
    resize,
    signal,
)
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import default_nan, infinity_or_nan, is_nan, is_signaling, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_reserved,
    is_special,
    unpack_normal,
    unpack_with_leading_one,
)


def convert_format(
    x: Bits, direction: Bits, fmt: BinaryFormat, target: BinaryFormat, options: Options
) -> Bits:
    """x of format `fmt` in format `target`. Signals invalid operation (signalling NaN), overflow, underflow,
    inexact.
    """
    phase("unpack")
    a = unpack_normal(x, fmt)
    if is_reserved(a.exponent, fmt):
        phase("special operands")
        if options.special:
            if is_special(x, fmt):
                return convert_special(x, a.sign, fmt, target, options)
        if counts_as_zero(x, fmt, options):
            return zero(a.sign, target)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)

    phase("rebase")
    extra = max(fmt.precision, target.precision + 2) - target.precision
    significand = a.significand << (target.precision + extra - fmt.precision)
    exponent_less_one = rebase(a.exponent, fmt, target)
    return round_to_format(a.sign, exponent_less_one, significand, direction, target, options)


def rebase(exponent: Bits, fmt: BinaryFormat, target: BinaryFormat) -> Bits:
    """A two's complement exponent of `fmt` for `target`'s bias, less one, wide enough for either format."""
    width = max(signed_exponent_bits(fmt), signed_exponent_bits(target))
    if width > signed_exponent_bits(fmt):
        exponent = sign_extend(exponent, width)
    return add_modulo(exponent, (target.bias - fmt.bias - 1) % (1 << width), width)


def sign_extend(x: Bits, width: int) -> Bits:
    """A two's complement number in more bits: flipping the sign bit and taking its weight off again."""
    half = 1 << (x.width - 1)
    return add_modulo(x ^ half, (1 << width) - half, width)


def convert_special(x: Bits, sign: Bits, fmt: BinaryFormat, target: BinaryFormat, options: Options) -> Bits:
    """An infinity stays one of its sign, a NaN becomes a NaN of the target.

    Saturating, an infinity becomes the largest finite number (OCP OFP8 specification 1.0, section 5, the
    table of conversions; from memory).
    """
    if is_nan(x, fmt):
        signal(Flags.INVALID_OPERATION, is_signaling(x, fmt))
        if options.nan is NaNResult.CANONICAL:
            return default_nan(target, options)
        return converted_nan(x, sign, fmt, target)
    if options.saturate:
        return concatenate(sign, constant(target.largest_finite, target.width - 1))
    return infinity_or_nan(sign, target, options)


def converted_nan(x: Bits, sign: Bits, fmt: BinaryFormat, target: BinaryFormat) -> Bits:
    """A NaN made quiet, its payload kept from the top down."""
    payload = field(x, 0, fmt.trailing_bits)
    if target.trailing_bits >= fmt.trailing_bits:
        payload = payload << (target.trailing_bits - fmt.trailing_bits)
    else:
        payload = payload >> (fmt.trailing_bits - target.trailing_bits)
    return concatenate(sign, resize(payload, target.width - 1) | target.quiet_nan)
