"""acosh x, the number that is not negative and whose hyperbolic cosine is x (IEEE 754-2019, clause 9.2).

acosh x = ln(x + sqrt(x^2 - 1)), x = 2^k s above 1, s from 1 to below 2. What is under the root is brought to
between 1/4 and 1; the root R is off by square_roots.ERROR units of the last of bits + 4 bits, and not below
1/2.

Below 2, with d = x - 1, that is ln(1 + v), v = d + sqrt(d (d + 2)), where d and the radicand are exact. The
sum is above 1/2 where R is, so its relative error is less than square_roots.ERROR of 2^-(bits + 3). That of
ln(1 + v) is not larger, and a result is up to twice its leading one: square_roots.ERROR / 4 units. Of 1 + v,
for v not below 2^-t, with bits + t + 2 bits, two units of the last place are cut off at the most, which is
two of the result, not below 2^-(t + 1) then.

From 2 on, x + sqrt(x^2 - 1) = 2^(k + 1) (s / 2 + sqrt(s^2 / 4 - 4^-(k + 1))), which is at least 2 + sqrt(3):
the logarithm is above 1, and an error of the sum in brackets, which is above 9/10, is less than 10/9 times as
large in it. The radicand, above 3/16, lacks less than a unit of 2^-(bits + 4), which the root takes 6/5
times; R is off as above. That is less than a unit.

Special operands, by clause 9.2.1 (from memory): acosh 1 is +0, that of +infinity itself; below 1 the
operation is invalid.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import power_series, square_roots
from softfloat_py.routines.elementary.fixed_point import at_most, at_top
from softfloat_py.routines.elementary.logarithm import exponent_of, whole_bits
from softfloat_py.routines.elementary.logarithm_core import (
    LogarithmPlan,
    away_from_one,
    in_fixed_point,
    index_bits,
    is_next_to_zero,
    logarithm_plan,
    of_one_and,
    one_and,
)
from softfloat_py.routines.elementary.precisions import is_by_shifts
from softfloat_py.routines.elementary.square_roots import square_root
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import (
    is_nan,
    nan_of_one,
    signal_invalid_operation,
    zero,
)
from softfloat_py.routines.unpacking import Unpacked, is_special, sign_of, unpack_normal

SPARE = 4  # bits more than the result, of the root


@dataclass(frozen=True, slots=True)
class Plan:
    """How acosh is computed with `bits` bits after the leading one."""

    bits: int
    logarithm: LogarithmPlan
    error: int

    @property
    def root_bits(self) -> int:
        """Bits of the root, and of the sum behind its leading one."""
        return self.bits + SPARE


@cache
def plan_of(bits: int, of: None, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    assert square_roots.ERROR <= 4
    by_shifts = is_by_shifts(bits, fmt, options)
    sum_bits = bits + index_bits(options.tables, by_shifts) + 2
    logarithm = logarithm_plan(power_series.E, bits, sum_bits, whole_bits(fmt), options.tables, by_shifts)
    return Plan(bits, logarithm, logarithm.error + 3)


def acosh(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The inverse hyperbolic cosine. Signals invalid operation (signalling NaN, x < 1), inexact."""
    phase("unpack")
    one = fmt.one
    # as an unsigned number, what is negative lies above all that is positive
    if (x <= one) | (x >= fmt.first_special):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
        if x == one:
            return zero(constant(0, 1), fmt)
        if options.special:
            if is_special(x, fmt) & ~sign_of(x, fmt):
                return x
        return signal_invalid_operation(fmt, options)
    value = approximated(kernel, unpack_normal(x, fmt), plan_of, None, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def kernel(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """acosh of a number above 1."""
    exponent = exponent_of(x, fmt)
    width = max(2 * fmt.precision, plan.root_bits)
    below_two = exponent == 0
    if below_two:
        exponent, radicand, addend = next_to_one(x.significand, exponent.width, fmt, options)
        radicand = at_top(radicand, width)
    else:
        radicand, addend = of_square(exponent, x.significand, width), x.significand
        exponent = add_modulo(exponent, 1, exponent.width)
    exponent, total = root_and(exponent, radicand, addend, plan, options)
    logarithm, none = plan.logarithm, constant(0, 1)
    if below_two & is_next_to_zero(exponent, logarithm):
        argument = in_fixed_point(exponent, total, logarithm)
        value = of_one_and(none, exponent, total, argument, fmt.bias - 1, logarithm, options)
    else:
        if below_two:
            exponent, total = one_and(none, exponent, total, logarithm, options)
        else:
            total = at_top(total, logarithm.significand_bits)
        value = away_from_one(exponent, total, fmt.bias - 1, logarithm, options)
    return value


def next_to_one(
    significand: Bits, exponent_bits: int, fmt: BinaryFormat, options: Options
) -> tuple[Bits, Bits, Bits]:
    """For x = 1 + d below 2: an exponent e, d (d + 2) / 4^e and d / 2^e, so that the root of the former lies
    between 1/2 and 1.
    """
    phase("under the root")
    p = fmt.precision
    d = field(significand, 0, p - 1)
    product = d * resize(d + (1 << p), p + 1)
    halved = leading_zeros(product, options) >> 1
    radicand = shift_left(product, halved << 1, 2 * p)
    exponent = subtract_modulo(1, halved, exponent_bits)
    return exponent, radicand, shift_left(d, halved, p)


def of_square(exponent: Bits, significand: Bits, width: int) -> Bits:
    """s^2 / 4 - 4^-(k + 1), for x = 2^k s from 2 on."""
    phase("under the root")
    square = at_top(significand * significand, width)
    distance = at_most(exponent, width // 2 - 1) << 1
    return square - (constant(1 << (width - 2), width) >> distance)


def root_and(exponent: Bits, radicand: Bits, addend: Bits, plan: Plan, options: Options) -> tuple[Bits, Bits]:
    """2^exponent times the sum of the root of a fraction, above 1/8, and an addend, another fraction, as an
    exponent and a significand.
    """
    bits, width = plan.root_bits, radicand.width
    is_small = field(radicand, width - 2, 2) == 0
    if is_small:
        radicand = resize(radicand << 2, width)
    root = square_root(radicand, bits, options)
    phase("add")
    if is_small:
        root = resize(root >> 1, bits)
    total = root + at_top(addend, bits)
    if field(total, bits, 1):
        total = resize(total, bits + 1)
    else:
        total = resize(total << 1, bits + 1)
        exponent = subtract_modulo(exponent, 1, exponent.width)
    return exponent, total
