"""Conversion between formats (IEEE 754-2019, clause 5.4.2: convertFormat).

The operand with its leading one, its exponent rebased to the target's bias, is an exact intermediate result;
a target that is wide enough takes it without rounding, any other rounds it as it would a sum.
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import Format
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, add_modulo, constant, phase, signal
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import infinity, is_nan, is_signaling, zero
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_extreme,
    is_special,
    unpack_normal,
    unpack_with_leading_one,
)


def convert_format(x: Bits, direction: Bits, fmt: Format, target: Format, options: Options) -> Bits:
    """x of format `fmt` in format `target`. Signals invalid operation (signalling NaN), overflow, underflow,
    inexact.
    """
    phase("unpack")
    a = unpack_normal(x, fmt)
    if is_extreme(a.exponent, fmt):
        phase("special operands")
        if options.special:
            if is_special(x, fmt):
                return convert_special(x, a.sign, fmt, target)
        if counts_as_zero(x, fmt, options):
            return zero(a.sign, target)
        phase("unpack")
        a = unpack_with_leading_one(x, fmt, options)

    phase("rebase")
    extra = max(fmt.precision, target.precision + 2) - target.precision
    significand = a.significand << (target.precision + extra - fmt.precision)
    exponent_below = rebase(a.exponent, fmt, target)
    return round_to_format(a.sign, exponent_below, significand, direction, target, options)


def rebase(exponent: Bits, fmt: Format, target: Format) -> Bits:
    """A two's complement exponent of `fmt` for `target`'s bias, less one, wide enough for either format."""
    width = max(fmt.signed_exponent_bits, target.signed_exponent_bits)
    if width > fmt.signed_exponent_bits:
        exponent = sign_extend(exponent, width)
    return add_modulo(exponent, (target.bias - fmt.bias - 1) % (1 << width), width)


def sign_extend(x: Bits, width: int) -> Bits:
    """A two's complement number in more bits: flipping the sign bit and taking its weight off again."""
    half = 1 << (x.width - 1)
    return add_modulo(x ^ half, (1 << width) - half, width)


def convert_special(x: Bits, sign: Bits, fmt: Format, target: Format) -> Bits:
    """An infinity stays one of its sign, a NaN becomes the target's canonical NaN."""
    if is_nan(x, fmt):
        signal(Flags.INVALID_OPERATION, is_signaling(x, fmt))
        return constant(target.quiet_nan, target.width)
    return infinity(sign, target)
