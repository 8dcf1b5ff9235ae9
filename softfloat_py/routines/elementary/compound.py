"""(1 + x)^n, compound of IEEE 754-2019, clause 9.2: a sum that grows n times at the rate x.

(1 + x)^n = 2^(n log2(1 + x)). The logarithm is that of log2p1, relative next to 0 (`logarithm_plus_one`), and
`power_core` makes the rest of it and says why it is right.

Which are exact, or the middle between two numbers: those of which `power` says so of 1 + x. Any other is far
enough from these, as it says of whole powers, but for one kind. Where x is 2^(p + 2) and more, 1 + x is odd
and too long for its power to be exact, but next to x, whose power may be, by less than the accurate phase can
tell. There what is taken to be on a boundary of rounding is next to it: above for n > 0; below for n < 0, and
then it is a power of two.

Special operands, by clause 9.2.1 (from memory). A signalling NaN is always invalid.

    compound(x, n) for x < -1: invalid operation
    compound(x, 0) = 1 for x >= -1, and for a quiet NaN
    compound(-1, n): for n < 0 +inf with division by zero, for n > 0 +0
    compound(+-0, n) = 1; compound(+inf, n): for n < 0 +0, for n > 0 +inf
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import logarithm_plus_one
from softfloat_py.routines.elementary.logarithm_core import logarithm_of_one_and
from softfloat_py.routines.elementary.packed_operands import (
    integer_taken_apart,
    is_at_least,
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
from softfloat_py.routines.elementary.special_powers import zero_or_infinity, zero_or_pole
from softfloat_py.routines.elementary.two_phases import Approximation, approximated_to
from softfloat_py.routines.language import Bits, constant, field, phase, subtract_modulo
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    is_nan,
    is_signaling,
    nan_of_one,
    one,
    signal_invalid_operation,
)
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    exponent_field,
    is_reserved,
    is_special,
    magnitude_of,
    sign_of,
)


class Operands(NamedTuple):
    """What it is computed of: the sign of x, |x|, packed, and n."""

    x_sign: Bits
    x: Bits
    n: Bits


def compound(x: Bits, n: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """(1 + x)^n, n a two's complement integer of 32 bits. Signals invalid operation (signalling NaN, x < -1),
    division by zero (x = -1, n < 0), overflow, underflow, inexact.
    """
    phase("unpack")
    positive, x_sign, exponent = constant(0, 1), sign_of(x, fmt), exponent_field(x, fmt)
    operands = Operands(x_sign, packed_normal(x, fmt), n)
    if is_reserved(exponent, fmt) | (n == 0) | x_sign & (exponent >= fmt.bias):
        phase("special operands")
        n_sign = field(n, n.width - 1, 1)
        if options.special:
            if is_nan(x, fmt):
                if (n == 0) & ~is_signaling(x, fmt):
                    return one(positive, fmt)
                return nan_of_one(x, fmt, options)
        if x_sign & (magnitude_of(x, fmt) > fmt.one):
            return signal_invalid_operation(fmt, options)
        if (n == 0) | counts_as_zero(x, fmt, options):
            return one(positive, fmt)
        if x_sign & (magnitude_of(x, fmt) == fmt.one):
            return zero_or_pole(positive, ~n_sign, fmt, options)
        if options.special:
            if is_special(x, fmt):
                return zero_or_infinity(positive, n_sign, fmt, options)
        phase("unpack")
        operands = Operands(x_sign, packed(x, fmt, options), n)
    precision = precision_of_power(fmt, options, 1, 1)
    of = Of(precision, logarithm_plus_one.plan_of, exponent_bits_of(fmt, precision, n.width))
    value = approximated_to(precision, power_of_sum, operands, plan_of, of, fmt, options, True, None)
    if fmt.precision + 2 <= fmt.emax:
        if is_at_least(operands.x, fmt.precision + 2, fmt):
            value = next_to_boundary(value, n)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def power_of_sum(o: Operands, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """(1 + x)^n: the kernel."""
    x = taken_apart(o.x, o.x_sign, -fmt.bias, plan.exponent_bits, fmt)
    found = logarithm_of_one_and(x.sign, x.exponent, x.significand, 0, plan.logarithm, options)
    n = integer_taken_apart(o.n, plan.exponent_bits, options)
    return power_of_product(constant(0, 1), found, n, plan, fmt)


def next_to_boundary(value: Approximation, n: Bits) -> Approximation:
    """What is on a boundary of rounding, which its last bit says, a little above or below it."""
    significand, exponent_less_one = value.significand, value.exponent_less_one
    on_boundary = ~field(significand, 0, 1)
    if on_boundary & field(n, n.width - 1, 1):
        significand = constant((1 << significand.width) - 1, significand.width)
        exponent_less_one = subtract_modulo(exponent_less_one, 1, exponent_less_one.width)
    else:
        significand = significand | 1
    return Approximation(value.sign, exponent_less_one, significand)
