"""x^n, pown of IEEE 754-2019, clause 9.2, n being a whole number.

As pow (`power`), which says which powers are exact and why the precision is enough.

Special operands, by clause 9.2.1 (from memory). A signalling NaN is always invalid.

    pown(x, 0) = 1, even of a quiet NaN
    pown(+-0, n): for n < 0 +inf with division by zero, for n > 0 +0; with the sign of x for odd n
    pown(+-inf, n): for n < 0 +0, for n > 0 +inf; with the sign of x for odd n
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import logarithm
from softfloat_py.routines.elementary.packed_operands import integer_taken_apart, packed, packed_normal
from softfloat_py.routines.elementary.power import first_or_second_power, logarithm_of_packed
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
    zero_or_infinity,
    zero_or_pole,
)
from softfloat_py.routines.elementary.two_phases import Approximation, approximated_to
from softfloat_py.routines.language import Bits, constant, field, phase
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import is_nan, is_signaling, nan_of_one, one
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
    """What a power is computed of: its sign, |x|, packed, and n."""

    sign: Bits
    x: Bits
    n: Bits


def pown(x: Bits, n: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x^n, n a two's complement integer of 32 bits. Signals invalid operation (signalling NaN), division by
    zero (x = 0, n < 0), overflow, underflow, inexact.
    """
    phase("unpack")
    operands = Operands(sign_of(x, fmt) & field(n, 0, 1), packed_normal(x, fmt), n)
    if is_reserved(exponent_field(x, fmt), fmt) | (n == 0) | (magnitude_of(x, fmt) == fmt.one):
        phase("special operands")
        sign, n_sign = operands.sign, field(n, n.width - 1, 1)
        if options.special:
            if is_nan(x, fmt):
                if (n == 0) & ~is_signaling(x, fmt):
                    return one(constant(0, 1), fmt)
                return nan_of_one(x, fmt, options)
        if (n == 0) | (magnitude_of(x, fmt) == fmt.one):
            return one(sign, fmt)
        if counts_as_zero(x, fmt, options):
            return zero_or_pole(sign, ~n_sign, fmt, options)
        if options.special:
            if is_special(x, fmt):
                return zero_or_infinity(sign, n_sign, fmt, options)
        phase("unpack")
        operands = Operands(sign, packed(x, fmt, options), n)
    precision = precision_of_power(fmt, options, 1, 1)
    of = Of(precision, logarithm.plan_of, exponent_bits_of(fmt, precision, n.width))
    if (n == 1) | (n == 2):
        value = first_or_second_power(operands.sign, operands.x, n == 2, of, fmt)
    else:
        value = approximated_to(precision, whole_power, operands, plan_of, of, fmt, options, True, is_exact)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def whole_power(o: Operands, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """|x|^n: the kernel."""
    found = logarithm_of_packed(o.x, 0, plan, fmt, options)
    return power_of_product(o.sign, found, integer_taken_apart(o.n, plan.exponent_bits, options), plan, fmt)


def is_exact(o: Operands, fmt: BinaryFormat, options: Options) -> Bits:
    """Whether |x|^n is known to be exact, or the middle of two numbers: a power of two, or a short one."""
    phase("exact")
    significand = normal_significand(o.x, fmt)
    # a negative n is a large number here
    return (significand == fmt.leading_one) | is_short_power(significand, o.n, fmt, options)
