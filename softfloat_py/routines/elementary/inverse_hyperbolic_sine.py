"""asinh x, the number whose hyperbolic sine is x (IEEE 754-2019, clause 9.2).

Where |x| < 2^-t, it is x P(x^2) (`odd_functions`). Otherwise it is ln(y), y = |x| + sqrt(x^2 + 1), with the
sign of x, and above 2^-(t + 1). With x = 2^k s, s from 1 to below 2, e = k or 0, whichever is larger, and a =
|x| / 2^e, it is y = 2^e (a + sqrt(Z)), where Z = a^2 + 4^-e, from 1 to below 5. The root R of Z / 4, or of Z
/ 16 where Z is 4 or more, is computed with B = bits + t + 3 bits and between 1/2 and 1, as square_roots
delivers it.

T = a / 4 + sqrt(Z) / 4 = a / 4 + R / 2, or a / 4 + R, has B + 1 fraction bits. Units of the last of them are
lost:

- in Z / 4 what is cut off its smaller term is less than two, which R / 2 takes half;
- of R, square_roots.ERROR units in R / 2;
- of a / 4, where that has more bits, less than one.

T is not below 1/4, so as part of y that is less than (square_roots.ERROR + 2) 2^(1 - B), and so much in the
logarithm. Where Z is 4 or more, Z / 16 lacks two bits, and R counts twice: no more than twice as much, but T
is not below 3/4. In units of the result, which is above 2^-(t + 1), it is (square_roots.ERROR + 2) / 2.

Where |x| < 2^-(p/2) asinh x is x less a little, x^3/6 and less than 2^-(p + 2) x: less than the boundary
of rounding next to x is away. That is not computed.

Special operands, by clause 9.2.1 (from memory): zeros and infinities are their own results.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary import power_series, square_roots
from softfloat_py.routines.elementary.arguments import farthest_below, is_outside, unpack_inside
from softfloat_py.routines.elementary.extremes import least_exponent, next_to_argument
from softfloat_py.routines.elementary.fixed_point import at_most, at_top
from softfloat_py.routines.elementary.logarithm import exponent_of, whole_bits
from softfloat_py.routines.elementary.logarithm_core import (
    LogarithmPlan,
    away_from_one,
    index_bits,
    is_next_to_zero,
    logarithm_plan,
)
from softfloat_py.routines.elementary.odd_functions import OddPlan, odd_function, odd_plan
from softfloat_py.routines.elementary.precisions import is_by_shifts, precision_of
from softfloat_py.routines.elementary.square_roots import square_root
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    select,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import infinity_or_nan, is_nan, nan_of_one, zero
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    is_special,
    sign_of,
    unpack_nonzero_with,
)

SPARE = 3  # bits more than the result and the index, of the root


@dataclass(frozen=True, slots=True)
class Plan:
    """How asinh is computed with `bits` bits after the leading one, the root with `root_bits`."""

    bits: int
    root_bits: int
    logarithm: LogarithmPlan
    small: OddPlan
    error: int


@cache
def plan_of(bits: int, of: None, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    by_shifts = is_by_shifts(bits, fmt, options)
    t = index_bits(options.tables, by_shifts)
    root_bits = bits + t + SPARE
    logarithm = logarithm_plan(
        power_series.E, bits, root_bits + 2, whole_bits(fmt), options.tables, by_shifts
    )
    small = odd_plan(power_series.AREA_SINE, t, bits, fmt.precision)
    error = max(ceil(small.error), logarithm.error + (square_roots.ERROR + 3) // 2)
    return Plan(bits, root_bits, logarithm, small, error)


def asinh(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The inverse hyperbolic sine. Signals invalid operation (signalling NaN), underflow, inexact."""
    phase("unpack")
    exponent, least = exponent_field(x, fmt), least_exponent(fmt)
    if is_outside(x, exponent, least, fmt.largest_exponent_field + 1, fmt, options):
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if is_special(x, fmt):
                return infinity_or_nan(sign_of(x, fmt), fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        operand = unpack_nonzero_with(exponent, x, fmt, options)
        bits = precision_of(fmt, options).fast
        value = next_to_argument(operand, constant(1, 1), bits, operand.exponent.width, fmt)
    else:
        operand = unpack_inside(x, exponent, least, fmt, options)
        value = approximated(kernel, operand, plan_of, None, fmt, options, False)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def kernel(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """asinh of a number other than 0."""
    exponent, width = exponent_of(x, fmt), x.exponent.width
    if is_next_to_zero(exponent, plan.logarithm):
        first = fmt.bias - plan.logarithm.index_bits - 1
        distance = subtract_modulo(first % (1 << width), x.exponent, width)
        farthest = farthest_below(first, least_exponent(fmt), fmt)
        value = odd_function(x, distance, farthest, width, plan.small, fmt)
    else:
        exponent, total = with_root(exponent, x.significand, plan, fmt, options)
        value = away_from_one(exponent, total, fmt.bias - 1, plan.logarithm, options)
    return Approximation(x.sign, value.exponent_less_one, value.significand)


def with_root(
    exponent: Bits, significand: Bits, plan: Plan, fmt: BinaryFormat, options: Options
) -> tuple[Bits, Bits]:
    """y as an exponent and a significand, for |x| not below 2^-t."""
    phase("under the root")
    bits, width = plan.root_bits, max(2 * fmt.precision, plan.root_bits)
    is_fraction = field(exponent, exponent.width - 1, 1)
    distance = select(is_fraction, subtract_modulo(0, exponent, exponent.width), exponent)
    square, one = at_top(significand * significand, width), constant(1 << (width - 2), width)
    larger, smaller = select(is_fraction, one, square), select(is_fraction, square, one)
    radicand = larger + (smaller >> (at_most(distance, width // 2 - 1) << 1))
    is_large = field(radicand, width, 1)
    if is_large:
        radicand = resize(radicand >> 2, width)
    else:
        radicand = resize(radicand, width)
    root = square_root(radicand, bits, options)
    phase("add")
    if is_large:
        root = resize(root << 1, bits + 1)
    else:
        root = resize(root, bits + 1)
    addend = at_top(significand, bits)
    if is_fraction:
        addend = addend >> at_most(distance, bits - 1)
        exponent = constant(0, exponent.width)
    total = root + addend
    zeros = leading_zeros(total >> (bits - 1), options)
    total = shift_left(total, zeros, bits + 2)
    exponent = subtract_modulo(add_modulo(exponent, 2, exponent.width), zeros, exponent.width)
    return exponent, total
