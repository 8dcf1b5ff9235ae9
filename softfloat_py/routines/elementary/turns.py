"""From the angle of a ratio, up to pi/4, to one up to pi, and from fixed point to a result.

The angle of a point is that of a ratio of its coordinates, at most 1. Where that is the ratio turned over,
the angle is *steep*: pi/2 less that of the ratio. *Back* is one of a point to the left: pi less what it is to
the right, or pi/2 more than that of the ratio for a steep one. All is in radians or as parts of pi.

An angle that is neither is computed here for ratios from 2^-SMALL on. So it has SMALL + 1 leading zeros after
the point at most, SMALL + 2 as a part of pi, and as many more fraction bits than a result has.

Parts of pi may be next to 1/2 or 1, where rounding changes. So what is taken from these, or added, is never
nothing: its last bit is set. What the accurate phase cannot tell from 1/2 or 1 is then on the right side.

Lost are, in units of the last of the fraction bits: what the angle of a ratio loses; half a unit of pi/2 or
pi, or one for the bit that is set. Where places are cut off from a result, its unit is at least twice as
large.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, Tables
from softfloat_py.routines.elementary import power_series, reals
from softfloat_py.routines.elementary.angles import AnglePlan, angle_plan
from softfloat_py.routines.elementary.extremes import least_exponent
from softfloat_py.routines.elementary.rotations import least_operand_bits
from softfloat_py.routines.elementary.small_angles import SMALL
from softfloat_py.routines.elementary.two_phases import Approximation
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.language import Bits, constant, phase, resize, shift_left, subtract_modulo
from softfloat_py.routines.leading_zeros import leading_zeros


@dataclass(frozen=True, slots=True)
class TurnPlan:
    """How angles are computed with `bits` bits after the leading one, off by at most `error` units of the
    last of them. `most_zeros` are the leading zeros after the point of the least angle.
    """

    bits: int
    of_pi: bool
    angle: AnglePlan
    most_zeros: int
    error: int

    @property
    def right_angle(self) -> int:
        """pi/2, or 1/2, with the fraction bits of angles."""
        fraction_bits = self.angle.fraction_bits
        return 1 << (fraction_bits - 1) if self.of_pi else power_series.half_pi(fraction_bits)

    @property
    def half_turn(self) -> int:
        """pi, or 1, with the fraction bits of angles."""
        fraction_bits = self.angle.fraction_bits
        return 1 << fraction_bits if self.of_pi else reals.pi(fraction_bits)


@cache
def turn_plan(bits: int, operand_bits: int, of_pi: bool, tables: Tables) -> TurnPlan:
    """The plan for a number of bits, and for significands of so many."""
    fraction_bits = fraction_bits_of(bits, of_pi)
    angle = angle_plan(operand_bits, fraction_bits, of_pi, tables)
    return TurnPlan(bits, of_pi, angle, fraction_bits - bits, ceil(angle.error + 1))


def fraction_bits_of(bits: int, of_pi: bool) -> int:
    """Fraction bits of angles, for results with so many bits after the leading one."""
    return bits + SMALL + (2 if of_pi else 1)


def least_operand(of_pi: bool, fmt: BinaryFormat) -> int:
    """The biased exponent below which arc sine and arc tangent lie next to their operand; as parts of pi,
    which do not, that of the least number.
    """
    return 2 - fmt.precision if of_pi else least_exponent(fmt)


def operand_bits_of(fmt: BinaryFormat, tables: Tables) -> int:
    """Bits with which significands of a format come to the core."""
    return max(fmt.precision, least_operand_bits(tables))


def to_the_right(
    sign: Bits, angle: Bits, steep: Bits, plan: TurnPlan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The result for the angle of a ratio, or where it is steep for pi/2 less that."""
    phase("normalise")
    width = plan.angle.fraction_bits + 1
    if steep:
        angle = resize(plan.right_angle - not_nothing(angle, plan), width)
        # from pi/4 to pi/2: one of two numbers of leading zeros
        least = 2 if plan.of_pi else 0
        zeros = resize((angle < (1 << (width - 1 - least))) + least, plan.most_zeros.bit_length())
    else:
        angle = resize(angle, width)
        zeros = leading_zeros(angle >> (width - 1 - plan.most_zeros), options)
        zeros = resize(zeros, plan.most_zeros.bit_length())
    return floating(sign, angle, zeros, plan, fmt)


def anywhere(
    sign: Bits, angle: Bits, steep: Bits, back: Bits, plan: TurnPlan, fmt: BinaryFormat, options: Options
) -> Approximation:
    """The result for the angle of a ratio of any point."""
    phase("normalise")
    width = plan.angle.fraction_bits + 2
    angle = not_nothing(angle, plan)
    if steep:
        if back:
            angle = resize(plan.right_angle + angle, width)
        else:
            angle = resize(plan.right_angle - angle, width)
    else:
        if back:
            angle = resize(plan.half_turn - angle, width)
        else:
            angle = resize(angle, width)
    zeros = leading_zeros(angle >> (width - 2 - plan.most_zeros), options)
    return floating(sign, angle, zeros, plan, fmt)


def not_nothing(angle: Bits, plan: TurnPlan) -> Bits:
    """The angle; as a part of pi with its last bit set."""
    return angle | 1 if plan.of_pi else angle


def floating(sign: Bits, angle: Bits, zeros: Bits, plan: TurnPlan, fmt: BinaryFormat) -> Approximation:
    """An angle in fixed point, with leading zeros that were counted, as a result."""
    exponent = fmt.bias + angle.width - 1 - plan.angle.fraction_bits
    exponent_less_one = subtract_modulo(exponent - 1, zeros, signed_exponent_bits(fmt))
    significand = shift_left(angle, zeros, angle.width) >> (angle.width - 1 - plan.bits)
    return Approximation(sign, exponent_less_one, significand)


def quarters(count: int, sign: Bits, bits: int, of_pi: bool, fmt: BinaryFormat) -> Approximation:
    """pi/4, or 1/4, some times; in radians cut to so many bits after the leading one, its last bit set."""
    width = signed_exponent_bits(fmt)
    exponent, significand = parts_of_quarters(count, bits, of_pi)
    exponent_less_one = (fmt.bias + exponent - 1) % (1 << width)
    return Approximation(sign, constant(exponent_less_one, width), constant(significand, bits + 1))


def parts_of_quarters(count: int, bits: int, of_pi: bool) -> tuple[int, int]:
    """Exponent and significand of that number."""
    if of_pi:
        value = count << (bits + reals.GUARD)
    else:
        value = count * reals.pi(bits + reals.GUARD)
    places = value.bit_length() - 1
    significand = value >> (places - bits)
    return places - bits - reals.GUARD - 2, significand if of_pi else significand | 1
