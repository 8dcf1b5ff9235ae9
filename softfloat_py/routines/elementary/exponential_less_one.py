"""e^x - 1, 2^x - 1 and 10^x - 1 (IEEE 754-2019, clause 9.2: expm1, exp2m1, exp10m1).

Small arguments, |x| < 2^-t: b^x - 1 = x P(x), with a polynomial P near ln b. The significand of x is exact,
so the relative error is that of P however small x is. With P >= L and B bits after the leading one of a
result, this loses, in units of the last of them,

- 2 / L times what P loses, which has B fraction bits: its error is multiplied by a significand that is at
  most 2 / L times the leading one of the product. It loses what it states, and what is cut off x, a unit,
  times the slope of P;
- in the product less than a unit.

Middle ones, 2^-t <= |x| < 2^-s: with c the first bits of |x|, down to 2^-t, and r the rest, u = |b^+-r - 1|
is found as for small ones, and |b^+-c - 1| = E_j in a table; |b^x - 1| = E_j + u +- E_j u. That is 2^-K or
more, and computed with B + K fraction bits. This loses, in units of the last of them,

- of E_j half a unit, times 1 + u, which is less than 2;
- of u, times 1 + E_j, what P loses times r < 2^-t, and less than a unit for what is cut off;
- in E_j u less than a unit for the bits of E_j left out, and less than one for those of the product;
- less than a unit of the result for the bits that it has too many.

Large ones: b^x = 2^n 2^f, computed with B fraction bits as exp does (`exponential`). The result is at least
half of 2^n: where n >= 1, it is 2^n - 1 or more; where n = 0, and x >= 2^-s, 1/2 or more; where n = -1, and x
<= -2^-s, 1/4 or more; and below that 1/2 or more. So what is lost, in the same units, is

- twice what `exponential` argues for 2^f;
- less than a unit of 2^f for what is shifted out, of 2^-n for a positive x, of 2^n 2^f for a negative one:
  twice as much again.

Results next to a number are not computed:

- e^x - 1 where |x| < 2^-(p + 1): it is x + x^2/2 + ..., less than a boundary of rounding away from x;
- b^x - 1 where b^x <= 2^-(p + 2): it lies between -1 and the boundary next to it;
- 2^n - 1 for a whole number n of p + 2 or more lies as near to 2^n. It is computed, and 2^n is the boundary
  that is found; for a smaller n it is 2^n - 1 itself, which is exact, or a middle between two numbers.

10^n - 1 is exact where the format has it. Where 10^n is a boundary, and so n <= (p + 1) / log2(5), it is told
from that by its 10^-n > 2^-3/2 (p + 1); where it is none, they are as far from one as chance has it.

Special operands, by clause 9.2.1, from memory: +-0 gives itself, exactly; -infinity -1, exactly; +infinity
itself. A result less than the smallest normal number underflows like any other.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import ElementaryRounding, Options
from softfloat_py.routines.elementary import exponential, power_series, reals
from softfloat_py.routines.elementary.arguments import (
    farthest_below,
    in_fixed_point,
    is_outside,
    least_encoding,
    unpack_inside,
)
from softfloat_py.routines.elementary.extremes import beyond_range, next_to_argument, next_to_one
from softfloat_py.routines.elementary.fixed_point import horner_of_either_sign
from softfloat_py.routines.elementary.leading_ones import with_leading_one_among
from softfloat_py.routines.elementary.polynomials import Polynomial, polynomial
from softfloat_py.routines.elementary.precisions import precision_of
from softfloat_py.routines.elementary.two_phases import Approximation, approximated
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    concatenate,
    constant,
    field,
    look_up,
    phase,
    resize,
    select,
    subtract_modulo,
    with_point,
)
from softfloat_py.routines.normalisation import with_leading_one
from softfloat_py.routines.rounding import round_to_format
from softfloat_py.routines.special_operands import infinity_or_nan, is_nan, nan_of_one, one, zero
from softfloat_py.routines.tables import Table
from softfloat_py.routines.unpacking import (
    Unpacked,
    counts_as_zero,
    exponent_field,
    is_special,
    sign_of,
    unpack_nonzero_with,
)


@dataclass(frozen=True, slots=True)
class NearPlan:
    """How b^x - 1 is computed for |x| < 2^-below: its first bits, down to 2^-fine, are looked up in `table`.

    `series` is P. For a significand from 1 to below 2 and a small x the product is from 2^low to below
    2^(low + places + 1). For other x the result is computed with `bits` fraction bits.
    """

    below: int
    fine: int
    series: Polynomial
    low: int
    places: int
    bits: int
    table: Table
    error: Fraction


@dataclass(frozen=True, slots=True)
class Plan:
    """How a power of a base, less one, is computed with `bits` bits after its leading one."""

    base: int | None
    bits: int
    near: NearPlan
    power: exponential.Plan
    error: int


@cache
def plan_of(bits: int, base: int | None, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits."""
    near = near_plan(bits, base, exponential.INDEX_BITS[options.tables], fmt)
    power = exponential.plan_of(bits, base, fmt, options)
    return Plan(base, bits, near, power, max(ceil(near.error), 2 * (power.error + 1)))


# Large arguments are not below a power of two, 2^-s: s by the base.
BELOW = {2: 0, power_series.E: 1, 10: 2}


@cache
def near_plan(bits: int, base: int | None, index_bits: int, fmt: BinaryFormat) -> NearPlan:
    """The plan for arguments that are not large."""
    below = BELOW[base]
    fine = max(below, index_bits + (base == 10))
    end = Fraction(1, 1 << fine)
    series = polynomial(power_series.power_less_one(base), fine, bits, bits, both_sides=True)
    # the slope of P is ln(b)^2 / 2 b^x at the most
    ln = Fraction(power_series.ln_of_base(base, CLOSE), 1 << CLOSE)
    lost = series.error + ln**2 / 2 * (power_less_one_of(end, base) + 1)
    # |b^x - 1| rises with |x|: the product is least for a significand of 1, most for the largest one
    unit, largest = end / 2, end * (1 - Fraction(1, 1 << fmt.precision))
    low = reals.exponent_of(-power_less_one_of(-unit, base) / unit - 2 * lost / 2**bits)
    high = reals.exponent_of(power_less_one_of(largest, base) / unit + 2 * lost / 2**bits)
    least = -power_less_one_of(-end, base)
    middle_bits = bits - reals.exponent_of(least)
    table = table_of_steps(base, below, fine, middle_bits)
    of_u = lost * end * 2 ** (middle_bits - bits) + 1
    of_middle = 1 + of_u * (1 + Fraction(max(table.entries), 1 << middle_bits)) + 3
    error = max(2 * lost * end / least + 1, of_middle)
    return NearPlan(below, fine, series, low, high - low, middle_bits, table, error)


@cache
def table_of_steps(base: int | None, below: int, fine: int, bits: int) -> Table:
    """|b^x - 1| for x = j 2^-fine, then for x = -j 2^-fine, less than 2^-below in magnitude."""
    assert bits + TO_SPARE <= CLOSE
    multiples = [Fraction(j, 1 << fine) for j in range(1 << (fine - below))]
    both = [*multiples, *(-x for x in multiples)]
    entries = tuple(reals.fixed(abs(power_less_one_of(x, base)), bits) for x in both)
    return Table(entries, bits, name=f"powers_of_{base or 'e'}_less_one_{bits}")


CLOSE = 400  # fraction bits that are as good as all: those of any table, and some to spare
TO_SPARE = 32


def power_less_one_of(x: Fraction, base: int | None) -> Fraction:
    """b^x - 1, close enough for tables and bounds."""
    return Fraction(reals.exp(x * power_series.ln_of_base(base, CLOSE) / (1 << CLOSE), CLOSE), 1 << CLOSE) - 1


def least_exponent(base: int | None, fmt: BinaryFormat) -> int:
    """The biased exponent below which x is not computed with: |x| < 2^-(p + 1) for base e, else none."""
    return fmt.bias - fmt.precision - 1 if base is power_series.E else 2 - fmt.precision


@cache
def least_next_to_minus_one(base: int | None, fmt: BinaryFormat) -> int:
    """The encoding of the negative number of least magnitude for which b^x <= 2^-(p + 2)."""
    magnitude = Fraction(power_series.ln_of_base(2, CLOSE), power_series.ln_of_base(base, CLOSE))
    return fmt.sign_bit | least_encoding((fmt.precision + 2) * magnitude, fmt)


def expm1(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """e^x - 1. Signals invalid operation (signalling NaN), overflow, underflow, inexact."""
    return power_less_one(x, direction, power_series.E, fmt, options)


def exp2m1(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """2^x - 1, exact where x is a whole number and the format has it. Signals invalid operation (signalling
    NaN), overflow, underflow, inexact.
    """
    return power_less_one(x, direction, 2, fmt, options)


def exp10m1(x: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """10^x - 1, exact where x is a whole number and the format has it. Signals invalid operation (signalling
    NaN), overflow, underflow, inexact.
    """
    return power_less_one(x, direction, 10, fmt, options)


def power_less_one(x: Bits, direction: Bits, base: int | None, fmt: BinaryFormat, options: Options) -> Bits:
    """The power of a base, less one."""
    phase("unpack")
    least, most = least_exponent(base, fmt), fmt.bias + exponential.reach(fmt)
    exponent = exponent_field(x, fmt)
    bits, exponent_bits = precision_of(fmt, options).fast, exponential.exponent_bits_of(base, fmt)
    next_to_minus_one = x >= least_next_to_minus_one(base, fmt)
    if is_outside(x, exponent, least, most, fmt, options) | next_to_minus_one:
        phase("special operands")
        if options.special:
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if is_special(x, fmt):
                if sign_of(x, fmt):
                    return one(constant(1, 1), fmt)
                return infinity_or_nan(constant(0, 1), fmt, options)
        if counts_as_zero(x, fmt, options):
            return zero(sign_of(x, fmt), fmt)
        if exponent >= fmt.bias:
            large = beyond_range(constant(0, 1), bits, exponent_bits, fmt)
            near = next_to_one(constant(1, 1), bits, exponent_bits, fmt)
            value = Approximation(
                next_to_minus_one,
                select(next_to_minus_one, near.exponent_less_one, large.exponent_less_one),
                select(next_to_minus_one, near.significand, large.significand),
            )
        else:
            operand = unpack_nonzero_with(exponent, x, fmt, options)
            value = next_to_argument(operand, operand.sign, bits, exponent_bits, fmt)
    else:
        kernel, may_be_exact = power_of_base_less_one, base is not power_series.E
        value = approximated(kernel, (x,), plan_of, base, fmt, options, may_be_exact)
        if base == 2 and options.elementary_rounding is ElementaryRounding.CORRECT:
            value = below_large_power(value, bits, fmt)
    return round_to_format(value.sign, value.exponent_less_one, value.significand, direction, fmt, options)


def below_large_power(value: Approximation, bits: int, fmt: BinaryFormat) -> Approximation:
    """A value that is no boundary, or one that is: where it is 2^n, and n above p + 1, 2^n - 1 was meant."""
    if ~field(value.significand, 0, 1) & ~value.sign:
        if value.exponent_less_one >= fmt.bias + fmt.precision:
            exponent_less_one = subtract_modulo(value.exponent_less_one, 1, value.exponent_less_one.width)
            value = Approximation(value.sign, exponent_less_one, constant((2 << bits) - 1, bits + 1))
    return value


def power_of_base_less_one(
    operands: tuple[Bits, ...], plan: Plan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The power of a base, less one: the kernel of these functions."""
    least = least_exponent(plan.base, fmt)
    x = unpack_inside(operands[0], exponent_field(operands[0], fmt), least, fmt, options)
    exponent_bits = x.exponent.width
    first = (fmt.bias - plan.near.below - 1) % (1 << exponent_bits)
    distance = subtract_modulo(first, x.exponent, exponent_bits)
    if field(distance, exponent_bits - 1, 1):
        value = by_power(x, plan, fmt, options)
    else:
        value = near_zero(x, distance, plan, fmt, options)
    return value


def near_zero(x: Unpacked, distance: Bits, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """The result for an x that is not large, its exponent so far below the largest of these."""
    phase("near 0")
    near = plan.near
    index_bits = near.fine - near.below
    if index_bits == 0:
        argument = small_argument(x, distance, plan, fmt)
        return of_small(x, distance, x.significand * polynomial_of(argument, x.sign, near), plan, fmt)
    index, factor = constant(0, index_bits), x.significand
    if distance >= index_bits:
        argument = small_argument(x, subtract_modulo(distance, index_bits, distance.width), plan, fmt)
    else:
        number = (x.significand << (index_bits - 1)) >> resize(distance, index_bits.bit_length())
        index = field(number, fmt.trailing_bits, index_bits)
        rest = field(number, 0, fmt.trailing_bits)
        factor = resize(rest, fmt.precision)
        argument = rest << (plan.bits - near.fine - fmt.trailing_bits)
    product = factor * polynomial_of(argument, x.sign, near)
    if distance >= index_bits:
        value = of_small(x, distance, product, plan, fmt)
    else:
        value = of_middle(x, index, product, plan, fmt, options)
    return value


def small_argument(x: Unpacked, distance: Bits, plan: Plan, fmt: BinaryFormat) -> Bits:
    """A small |x| in fixed point, its exponent so far below the largest of these."""
    farthest = farthest_below(fmt.bias - plan.near.fine - 1, least_exponent(plan.base, fmt), fmt)
    return in_fixed_point(x.significand, distance, farthest, plan.bits, plan.near.fine)


def polynomial_of(argument: Bits, negative: Bits, near: NearPlan) -> Bits:
    """P of a magnitude and a sign."""
    phase("polynomial")
    return horner_of_either_sign(argument, ~negative, near.series)


def of_small(x: Unpacked, distance: Bits, product: Bits, plan: Plan, fmt: BinaryFormat) -> Approximation:
    """The result for a small x, of the product of its significand and P."""
    phase("normalise")
    near = plan.near
    kept = resize(product >> (fmt.trailing_bits + near.low), plan.bits + 1 + near.places)
    exponent_bits = exponential.exponent_bits_of(plan.base, fmt)
    first = (fmt.bias - near.below - 2 + near.low) % (1 << exponent_bits)
    exponent_less_one = subtract_modulo(first, distance, exponent_bits)
    significand, exponent_less_one = with_leading_one_among(kept, near.places, exponent_less_one)
    return Approximation(x.sign, exponent_less_one, significand)


def of_middle(
    x: Unpacked, index: Bits, product: Bits, plan: Plan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The result for an x that is neither small nor large, of its first bits and the product of the rest
    and P.
    """
    phase("first bits")
    near, bits = plan.near, plan.near.bits
    behind = fmt.trailing_bits + near.fine + plan.bits
    u = product >> (behind - bits)
    entry = with_point(look_up(near.table, concatenate(x.sign, index)), bits)
    cut = max(bits - u.width, 0)
    both = (u * (entry >> cut)) >> (bits - cut)
    if x.sign:
        value = with_point(resize(entry + u - both, bits), bits)
    else:
        value = with_point(resize(entry + u + both, bits), bits)
    exponent_bits = exponential.exponent_bits_of(plan.base, fmt)
    exponent_less_one = constant((fmt.bias - 2) % (1 << exponent_bits), exponent_bits)
    value, exponent_less_one = with_leading_one(value, exponent_less_one, options, signed=True)
    return Approximation(x.sign, exponent_less_one, resize(value >> (bits - plan.bits - 1), plan.bits + 1))


def by_power(x: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options) -> Approximation:
    """2^n 2^f - 1 for an x that is not small."""
    bits = plan.power.bits
    whole, fraction = exponential.in_fixed_point(x, plan.power, fmt)
    power = exponential.power_of_two(fraction, plan.power.power)
    phase("subtract")
    if x.sign:
        # n is -1 or less: twice the difference, 2 - 2^(n + 1) 2^f
        shifted = power >> resize(~whole, bits.bit_length())
        difference = with_point(resize(constant(2 << bits, bits + 2) - shifted, bits + 1), bits)
        exponent_less_one = constant((fmt.bias - 2) % (1 << whole.width), whole.width)
    else:
        distance = resize(select(whole > bits, constant(bits, whole.width), whole), bits.bit_length())
        difference = with_point(power - (constant(1 << bits, bits + 1) >> distance), bits)
        exponent_less_one = add_modulo(whole, fmt.bias - 1, whole.width)
    if ~field(difference, bits, 1):
        difference, exponent_less_one = with_leading_one(difference, exponent_less_one, options, signed=True)
    significand = resize(difference >> (bits - plan.bits), plan.bits + 1)
    return Approximation(x.sign, exponent_less_one, significand)
