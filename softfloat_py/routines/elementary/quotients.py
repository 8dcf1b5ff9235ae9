"""The quotient of two fixed-point numbers to so many bits, by the algorithm that the options have for it.

What every algorithm delivers: of a dividend less than twice the divisor, whose leading one is on top, the
quotient with `bits` bits after the point, never too large and less than ERROR units of the last place too
small.

Digit by digit, in radix 2 or 4, it is the quotient rounded down: less than one unit. A long one is found in
two halves, each with half of the divisor, which makes remainders half as wide: with d, from 1 to below 2, the
divisor, n the dividend, and d' the first h + 2 bits of d, rounded up, 1 - d / d' is at most 2^-(h + 1).

- So n / d', with n cut off as d is, to h bits after the point is less than n / d, which is below 2, by 2.5 of
  2^-h at most: 1 for what d' has too much, 1/2 for n and 1 for what is behind the h bits.
- What remains, n - d q, is therefore between 0 and 2.5 of 2^-h times d, and its quotient by d', added to q,
  makes the error 2.5 2^-(2 h + 1). Cutting it to half as many bits, h of them after 2^-h, costs 2^-2h, and
  what is behind the last bit a unit. With 2 h >= bits + 2 that is less than 1 + 5/16 + 1/4 units.

By a reciprocal, let d, from 1 to below 2, be the divisor and R, with F fraction bits, its reciprocal with
the relative error e = 1 - d R.

- The seed is an entry of a table, or a constant, for the leading bits of d: the reciprocal of the middle of
  the numbers that have these, with half a unit of its last place. e has either sign; its largest value is
  computed.
- A Newton step R' = R (2 - d R) has the error e^2 >= 0. What is cut off makes R' smaller: d is rounded up to
  F' + 1 fraction bits, which costs d R^2 times as much, 2 - d R is rounded down to as many, which costs d R
  times as much, and the product to F' ones, which costs d times as much. With |e| <= E these losses are at
  most (1 + E)^2 / 2, (1 + E) / 2 and 2 units of 2^-F'. R' is never above 1 / d. There is one step at least.
- With 0 <= e <= 2^-h, and n the dividend, q = n R is too small by less than 2 e; cutting n and q to h + 1 and
  h fraction bits costs less than 1/2 and 1 of 2^-h. What remains, n - d q, is therefore between 0 and 2 times
  3.5 of 2^-h, and the quotient of it by the same reciprocal, added to q, makes the error less than
  3.5 2^-2h; cutting it before, to two bits more than are wanted, and after costs a fourth of a unit and one.
  With 2 h >= bits + 3 that is less than 1 + 1/4 + 7/16 units.

Source: Newton's method for reciprocals, and long division by a reciprocal, are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from softfloat_py.options import Division, Options, Tables
from softfloat_py.routines.division import (
    digit_widths,
    leading_bits,
    next_digit,
    with_next_bit,
    with_next_two_bits,
)
from softfloat_py.routines.elementary.reals import fixed
from softfloat_py.routines.language import Bits, concatenate, constant, field, look_up, phase, resize
from softfloat_py.routines.tables import Table

ERROR = 2
LONG = 32  # bits of a quotient above which narrower remainders save more than the halves cost
SEED_INDEX_BITS = {Tables.NONE: 0, Tables.SMALL: 5, Tables.LARGE: 8}


def quotient(dividend: Bits, divisor: Bits, bits: int, options: Options) -> Bits:
    """dividend / divisor, which must be less than 2, with one bit before the point and `bits` after it, 4
    or more; the divisor must have its leading one on top.
    """
    phase("quotient")
    if options.division is Division.RECIPROCAL:
        return quotient_by_reciprocal(dividend, divisor, bits, options)
    if bits > LONG and divisor.width > half_of(bits) + 2:
        return quotient_in_halves(dividend, divisor, bits, options)
    return quotient_by_digits(dividend, divisor, bits, options)


# -- digit by digit -----------------------------------------------------------------------------------------


def quotient_by_digits(dividend: Bits, divisor: Bits, bits: int, options: Options) -> Bits:
    """The quotient rounded down, a bit a round, or two and one where a last one is left, or as many as a
    divider finds.
    """
    quotient, remainder = first_bit(dividend, divisor, bits)
    if options.division is Division.BY_DIVIDER:
        return with_digits(quotient, remainder, divisor, bits)
    if options.division is Division.RADIX_2:
        for _ in range(bits):
            quotient, remainder = with_next_bit(quotient, remainder, divisor)
        return quotient
    twice = divisor << 1
    thrice = twice + divisor
    for _ in range(bits // 2):
        quotient, remainder = with_next_two_bits(quotient, remainder, divisor, twice, thrice)
    if bits % 2 == 1:
        quotient, remainder = with_next_bit(quotient, remainder, divisor)
    return quotient


def first_bit(dividend: Bits, divisor: Bits, bits: int) -> tuple[Bits, Bits]:
    """The bit of a quotient before its point, in the width of the whole, and what then remains."""
    one = dividend >= divisor
    remainder = resize(dividend, divisor.width + 1)
    if one:
        remainder = remainder - divisor
    return resize(one, bits + 1), resize(remainder, divisor.width)


def with_digits(quotient: Bits, remainder: Bits, divisor: Bits, bits: int) -> Bits:
    """The quotient with `bits` more bits, several a round, as a divider finds them."""
    leading = leading_bits(divisor)
    quotient = resize(quotient, 1)
    for width in digit_widths(bits):
        digit, remainder = next_digit(remainder, divisor, leading, width)
        quotient = concatenate(quotient, digit)
    return quotient


def half_of(bits: int) -> int:
    """The bits of the first half."""
    return (bits + 3) // 2


def quotient_in_halves(dividend: Bits, divisor: Bits, bits: int, options: Options) -> Bits:
    """The quotient by half of the divisor, and that of what then remains."""
    half = half_of(bits)
    drop = divisor.width - half - 2
    short = (divisor >> drop) + 1
    first = quotient_by_digits(dividend >> drop, short, half, options)
    # what remains has half more fraction bits, and is less than 5/4 times 2 d'
    remainder = resize((dividend << half) - first * divisor, divisor.width + 2)
    second = quotient_by_digits(remainder >> (drop + 1), short, bits - half + 1, options)
    return resize((first << (bits - half)) + second, bits + 1)


# -- by reciprocal ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ReciprocalPlan:
    """How the reciprocal R of a number d from 1 to below 2 is found: a seed, then a Newton step for each of
    the numbers of fraction bits in `steps`. 0 <= 1 - d R <= error.
    """

    seed: Table
    index_bits: int
    seed_bits: int
    steps: tuple[int, ...]
    error: Fraction


@cache
def reciprocal_plan(bits: int, index_bits: int) -> ReciprocalPlan:
    """The plan for an error of at most 2^-bits, with a seed for so many bits behind the leading one."""
    return reciprocal_within(Fraction(1, 1 << bits), bits + 2, index_bits)


@cache
def reciprocal_within(most: Fraction, most_bits: int, index_bits: int) -> ReciprocalPlan:
    """The plan for an error of at most `most`, with no more fraction bits than are stated, which must do."""
    seed_bits = index_bits + 3
    places = 1 << index_bits
    middles = [Fraction(2 * places + 2 * j + 1, 2 * places) for j in range(places)]
    entries = tuple(fixed(1 / middle, seed_bits) for middle in middles)
    error = largest_error(entries, index_bits, seed_bits)
    steps: list[int] = []
    while not steps or error > most:
        wanted = min(most_bits, 2 * _good_bits(error) + 4)
        lost = ((1 + error) ** 2 / 2 + (1 + error) / 2 + 2) / 2**wanted
        error = error**2 + lost
        steps.append(wanted)
    return ReciprocalPlan(Table(entries, name="reciprocals"), index_bits, seed_bits, tuple(steps), error)


def largest_error(entries: tuple[int, ...], index_bits: int, bits: int) -> Fraction:
    """How far d times the entry for its leading bits is from 1 at the most, the entries having so many
    fraction bits.
    """
    places = 1 << index_bits
    return max(
        abs(1 - Fraction(entry * (places + j + side), places << bits))
        for j, entry in enumerate(entries)
        for side in (0, 1)
    )


def _good_bits(error: Fraction) -> int:
    """The largest n for which an error, below 1, is not above 2^-n."""
    return (error.denominator // error.numerator).bit_length() - 1


def reciprocal(divisor: Bits, plan: ReciprocalPlan) -> Bits:
    """1 / d, d being the divisor with its point behind the leading one, which must be on top; with as many
    fraction bits as the last step of the plan has, and one bit before the point.
    """
    behind = divisor.width - 1
    if plan.index_bits == 0:
        found = constant(plan.seed.entries[0], plan.seed_bits + 1)
    else:
        found = look_up(plan.seed, field(divisor, behind - plan.index_bits, plan.index_bits))
    fraction_bits = plan.seed_bits
    for wanted in plan.steps:
        d, d_bits = divisor, behind
        if wanted + 1 < behind:
            d, d_bits = (divisor >> (behind - wanted - 1)) + 1, wanted + 1
        places = d_bits + fraction_bits
        factor = resize(constant(2 << places, places + 2) - d * found, places + 1)
        if places > wanted + 1:
            factor, places = factor >> (places - wanted - 1), wanted + 1
        found = factor * found
        if fraction_bits + places < wanted:
            found = found << (wanted - fraction_bits - places)
        else:
            found = found >> (fraction_bits + places - wanted)
        found = resize(found, wanted + 1)
        fraction_bits = wanted
    return found


def quotient_by_reciprocal(dividend: Bits, divisor: Bits, bits: int, options: Options) -> Bits:
    """The quotient from a reciprocal with half of its bits, and from what then remains."""
    half = (bits + 4) // 2
    behind = divisor.width - 1
    plan = reciprocal_plan(half, min(SEED_INDEX_BITS[options.tables], behind))
    inverse, inverse_bits = reciprocal(divisor, plan), plan.steps[-1]
    drop = max(behind - half - 1, 0)
    first = resize(((dividend >> drop) * inverse) >> (behind - drop + inverse_bits - half), half + 1)
    # what remains has behind + half fraction bits, and is less than 8 times 2^-half
    remainder = resize((dividend << half) - first * divisor, behind + 3)
    cut = max(behind + half - bits - 2, 0)
    rest = ((remainder >> cut) * inverse) >> (behind + half - cut + inverse_bits - bits)
    return resize((first << (bits - half)) + rest, bits + 1)
