"""Addition and subtraction (IEEE 754-2019, clause 5.4.1).

Why the result is correctly rounded. Let the operand with the larger magnitude come first, with exponent e.
Both significands get three more bits: guard, round and sticky. The smaller one is shifted right to the
exponent e, what it loses beyond those bits being kept as sticky; `rounding.shift_right_sticky` argues why the
sticky bit may be added or subtracted like any other, the larger significand ending in zeros. Nothing is lost
for distances up to 3.

- Equal signs: the sum is exact but for the sticky bit, which stays lowest when a carry makes the sum one
  bit longer and it is halved (its two lowest bits are merged).
- Different signs: the difference is not negative. For a distance of 0 or 1 it is exact, and may lose any
  number of leading bits. For a larger distance at most one leading bit is lost, so after shifting left by one
  there are still half a unit (round) and sticky below the p bits kept. This is why three bits suffice.

A result with the exponent 1 may be without its leading one: it is subnormal and exact, because both operands
are multiples of the smallest subnormal number. So addition never underflows.

The alignment distance is limited to p + 2: there the smaller operand is below the round bit altogether, and
only its being non-zero matters, as it is: zeros have left before. Guard, round and sticky: common practice,
no source.

A zero is the smaller one, whatever the other is, and its exponent field is 0, as only subnormal numbers' are
besides. So nothing but these is asked whether it is one. It leaves at once: beside a finite number the sum is
that number, which is exact, and of two zeros it has their sign or, if that differs, the sign of every exact
zero sum (clause 6.3).
"""

from __future__ import annotations

from softfloat_py.environment import Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import NaNResult, Options
from softfloat_py.routines.exact_results import nonzero_as_result
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    constant,
    field,
    phase,
    resize,
    select,
)
from softfloat_py.routines.normalisation import with_carry_within, with_leading_one
from softfloat_py.routines.rounding import encode_rounded, flush_result, shift_right_sticky
from softfloat_py.routines.special_operands import (
    exact_zero_sum,
    infinity_or_nan,
    is_nan,
    nan_of_two,
    signal_invalid_operation,
    zero,
)
from softfloat_py.routines.unpacking import (
    counts_as_zero,
    is_special_with,
    magnitude_of,
    normal_significand,
    sign_of,
)

GUARD_ROUND_STICKY = 3


def addition(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x + y. Signals invalid operation (signalling NaN, infinity - infinity), overflow, inexact."""
    phase("order")
    sign = sign_of(x, fmt)
    signs_differ = sign_of(x ^ y, fmt)
    larger = magnitude_of(x, fmt)
    smaller = magnitude_of(y, fmt)
    if larger < smaller:
        larger, smaller = smaller, larger
        sign = sign_of(y, fmt)

    phase("unpack")
    exponent = larger >> fmt.trailing_bits
    smaller_exponent = smaller >> fmt.trailing_bits
    if options.special:
        if is_special_with(exponent, larger, fmt):
            return sum_with_special(x, y, larger, sign, signs_differ, fmt, options)
    significand = normal_significand(larger, fmt)
    if smaller_exponent == 0:
        if not options.subnormal_operands:
            return sum_with_zero(larger, sign, signs_differ, direction, fmt, options)
        if smaller == 0:
            return sum_with_zero(larger, sign, signs_differ, direction, fmt, options)
        # A subnormal number: no leading one, and the exponent 0 means 1.
        smaller_significand = resize(smaller, fmt.precision)
        smaller_exponent = constant(1, fmt.exponent_bits)
        if exponent == 0:
            significand = resize(larger, fmt.precision)
            exponent = constant(1, fmt.exponent_bits)
    else:
        smaller_significand = normal_significand(smaller, fmt)

    phase("align")
    significand = significand << GUARD_ROUND_STICKY
    aligned = align(smaller_significand, exponent - smaller_exponent, fmt)
    exponent_less_one = exponent - 1

    if signs_differ:
        phase("subtract")
        significand = significand - aligned
        if significand == 0:
            return exact_zero_sum(direction, fmt)
        phase("normalise")
        if significand < 1 << (significand.width - 1):
            significand, exponent_less_one = with_leading_one(
                significand, exponent_less_one, options, signed=False
            )
    else:
        phase("add")
        total = significand + aligned
        significand, exponent_less_one = with_carry_within(total, exponent_less_one, signed=False)

    if not options.subnormal_results:
        if field(significand, significand.width - 1, 1) == 0:
            phase("below normal range")
            return flush_result(sign, fmt)
    return encode_rounded(sign, exponent_less_one, significand, constant(0, 1), direction, fmt, options)


def subtraction(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x - y, that is x + (-y). Signals as addition does."""
    phase("negate")
    return addition(x, negated(y, fmt, options), direction, fmt, options)


def negated(y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """-y, except that a NaN which is to be passed on keeps its sign."""
    if options.special and options.nan is not NaNResult.CANONICAL:
        return select(is_nan(y, fmt), y, y ^ fmt.sign_bit)
    return y ^ fmt.sign_bit


def align(significand: Bits, distance: Bits, fmt: BinaryFormat) -> Bits:
    """The smaller significand with its three extra bits, shifted right to the larger one's exponent."""
    limit = fmt.precision + GUARD_ROUND_STICKY - 1
    if limit < fmt.largest_exponent_field:
        distance = resize(select(distance > limit, limit, distance), limit.bit_length())
    return shift_right_sticky(significand << GUARD_ROUND_STICKY, distance)


def sum_with_zero(
    larger: Bits, sign: Bits, signs_differ: Bits, direction: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """The sum where the smaller magnitude counts as zero, the larger one is that of a number of this sign."""
    phase("special operands")
    if counts_as_zero(larger, fmt, options):
        return zero(select(signs_differ, direction == Rounding.TOWARD_NEGATIVE, sign), fmt)
    return nonzero_as_result(concatenate(sign, larger), fmt, options)


def sum_with_special(
    x: Bits, y: Bits, larger: Bits, sign: Bits, signs_differ: Bits, fmt: BinaryFormat, options: Options
) -> Bits:
    """The sum where the larger magnitude is an infinity or a NaN (clauses 6.1, 6.2)."""
    phase("special operands")
    if is_nan(larger, fmt):
        return nan_of_two(x, y, fmt, options)
    if signs_differ & (magnitude_of(x, fmt) == magnitude_of(y, fmt)):
        return signal_invalid_operation(fmt, options)
    return infinity_or_nan(sign, fmt, options)
