"""2^v of a floating number v that comes of a logarithm: the core of powers and roots.

v is a product y L, or a quotient L / n, of a logarithm to base 2 and a number. L comes as a floating number
with a relative error (`logarithm_core`). v is brought to fixed point as far as results reach, and of its
whole part and its fraction 2^(n + f) = 2^n 2^f is made, as `exponential` does.

What is lost, in units of the last of F bits after the point of v, for results in the range, where |v| is
below 2^reach:

- of L its error in units of the last of F + reach bits after its leading one, for v is 2^reach times as large
  at the most;
- in the product or the quotient what its function says;
- less than one unit where that is brought to its place.

As much in the exponent of 2 changes 2^f, below 2, by 2 ln 2 < 1.4 times as much. To that comes what is lost
in 2^f.

Beyond the range. Where |v| is 2^reach and more, a number as large stands for it. Where it is below 2^-(p +
2), 2^v lies between 1 and the boundary of rounding next to 1; so does 2 to the power of 2^-(p + 2), which
stands for it, and that is further from 1 and from the boundary than the error. So no result depends on what
was replaced, and none of these takes the accurate phase for it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from math import ceil
from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Elementary, Options
from softfloat_py.routines.elementary.exponential import (
    PowerPlan,
    plan_of_power,
    power_of_two,
    reach,
    whole_and_fraction,
)
from softfloat_py.routines.elementary.fixed_point import at_top
from softfloat_py.routines.elementary.logarithm_core import LogarithmPlan
from softfloat_py.routines.elementary.precisions import Precision, precision_of
from softfloat_py.routines.elementary.quotients import ERROR, quotient
from softfloat_py.routines.elementary.shift_and_add import PowerByShifts
from softfloat_py.routines.elementary.two_phases import Approximation
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    constant,
    field,
    phase,
    resize,
    select,
    subtract_modulo,
    with_point,
)
from softfloat_py.routines.unpacking import Unpacked

EXTRA_BITS = (
    3  # of the fast phase: powers lose more than other functions, and their accurate phase takes longer
)


class Of(NamedTuple):
    """What is computed, and how precisely: `logarithm` gives the plan of a logarithm with so many bits, as
    logarithm.plan_of does; exponents are two's complement numbers of `exponent_bits`.
    """

    precision: Precision
    logarithm: Callable[..., LogarithmPlan]
    exponent_bits: int


@dataclass(frozen=True, slots=True)
class Plan:
    """How 2^v is computed with `bits` bits after the leading one, off by at most `error` units of the last of
    them. v comes with `width` bits, of which `reach` and one more are needed for whole numbers.
    """

    bits: int
    reach: int
    exponent_bits: int
    logarithm: LogarithmPlan
    power: PowerPlan | PowerByShifts
    error: int

    @property
    def width(self) -> int:
        """Bits of v: below 2^(reach + 1), with `bits` after the point."""
        return self.reach + 1 + self.bits


@cache
def plan_of(bits: int, of: Of, fmt: BinaryFormat, options: Options) -> Plan:
    """The plan for a number of bits; a quotient loses more than a product."""
    far = reach(fmt)
    if bits == of.precision.accurate:
        options = replace(options, elementary=Elementary.POLYNOMIAL)
    logarithm = of.logarithm(bits + far, 2, fmt, options)
    power = plan_of_power(bits, of.precision, options)
    error = ceil((logarithm.error + ERROR + 1) * Fraction(7, 5) + power.error)
    # 2^-(p + 2) in the exponent is more than 2^-(p + 3) in the result
    assert 2 * error < 1 << (bits - fmt.precision - 3)
    return Plan(bits, far, of.exponent_bits, logarithm, power, error)


def precision_of_power(fmt: BinaryFormat, options: Options, operands: int, integers: int) -> Precision:
    """The precision of a power or root of so many numbers and integers."""
    fast, accurate = precision_of(fmt, options, operands, integers)
    return Precision(fast + EXTRA_BITS, accurate)


def exponent_bits_of(fmt: BinaryFormat, precision: Precision, largest_exponent: int) -> int:
    """Bits of a two's complement number that holds the sum or difference of the exponents of a logarithm and
    of a number, up to `largest_exponent`, and distances that come of it.
    """
    exponents = 2 * (fmt.bias + fmt.precision) + largest_exponent + 2 * reach(fmt)
    bits = max(precision.fast, precision.accurate)
    return max(signed_exponent_bits(fmt), (exponents + bits).bit_length() + 1)


def power_of_product(
    sign: Bits, logarithm: Approximation, y: Unpacked, plan: Plan, fmt: BinaryFormat
) -> Approximation:
    """2^(y L), with a sign; the exponents together are that of y L, not biased. Cutting off what v has no
    room for loses less than a unit.
    """
    phase("multiply")
    product = logarithm.significand * y.significand
    significand = product >> (product.width - plan.width)
    exponent = add_modulo(logarithm.exponent_less_one, y.exponent, plan.exponent_bits)
    return power_of_floating(sign, logarithm.sign ^ y.sign, exponent, significand, plan, fmt)


def power_of_quotient(
    sign: Bits, logarithm: Approximation, n: Unpacked, plan: Plan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """2^(L / n), with a sign; the exponents are not biased. A quotient of two significands loses ERROR units
    of the last of its bits, of which it has one less than v, and is below 2^reach.
    """
    width = max(logarithm.significand.width, n.significand.width)
    dividend, divisor = at_top(logarithm.significand, width), at_top(n.significand, width)
    found = quotient(dividend, divisor, plan.width - 2, options)
    exponent = subtract_modulo(logarithm.exponent_less_one, n.exponent, plan.exponent_bits)
    significand = resize(found, plan.width)
    return power_of_floating(sign, logarithm.sign ^ n.sign, exponent, significand, plan, fmt)


def power_of_floating(
    sign: Bits, negative: Bits, exponent: Bits, significand: Bits, plan: Plan, fmt: BinaryFormat
) -> Approximation:
    """2^v, or 2^-v where `negative` is set, with a sign; v is significand 2^(exponent + 2), the point before
    the significand, and from 2^(exponent - 1) on.
    """
    whole, fraction = in_fixed_point(negative, exponent, significand, plan, fmt)
    exponent_less_one = add_modulo(whole, fmt.bias - 1, whole.width)
    return Approximation(sign, exponent_less_one, power_of_two(fraction, plan.power))


def in_fixed_point(
    negative: Bits, exponent: Bits, significand: Bits, plan: Plan, fmt: BinaryFormat
) -> tuple[Bits, Bits]:
    """v, or -v, as a whole number in two's complement and a fraction."""
    phase("to fixed point")
    distance = subtract_modulo(plan.reach - 1, exponent, plan.exponent_bits)
    least = constant(1 << (plan.bits - fmt.precision - 2), plan.width)
    if distance >= plan.width:
        largest = constant((1 << plan.width) - 1, plan.width)
        magnitude = select(field(distance, plan.exponent_bits - 1, 1), largest, least)
    else:
        magnitude = significand >> resize(distance, (plan.width - 1).bit_length())
        magnitude = with_point(select(magnitude < least, least, magnitude), plan.bits)
    return whole_and_fraction(negative, magnitude, plan.exponent_bits, plan.bits)
