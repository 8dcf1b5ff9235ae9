"""From an exact or sufficiently exact intermediate result to the encoding of the rounded one.

The argument, once for all operations. An intermediate significand is the leading p bits of the exact result
followed by k *extra* bits, two or more. The first of them is worth half a unit in the last place, the last
one is *sticky*: it is set if the exact result has anything further down. Every direction of clause 4.3
decides on the extra bits, the last kept bit and the sign alone, and a sticky bit tells zero, less than
half, half and more than half apart as long as it stays underneath the first extra bit. That is why a shift
may replace all it loses by one sticky bit.

Rounding adds an *increment* below the last kept bit and then drops the extra bits; the sum carries into the
kept bits exactly when the magnitude is to grow. With h = 2^(k-1), half a unit: h - 1 carries for more than
half only, h for half or more, 2^k - 1 for anything but zero. Ties to even adds h - 1, and one more if the
last kept bit is odd.

Packing relies on the layout of clause 3.4: exponent above trailing significand. Adding a significand with
its leading one to (exponent - 1) << t completes the exponent field, a subnormal significand (exponent 1,
no leading one) leaves it 0, and a carry out of rounding moves it up by one, all in the same addition.
That is why exponents arrive here less one, as `exponent_less_one`.

Sources: IEEE 754-2019, clauses 3.4, 4.3, 7.4 to 7.6; guard, round and sticky bits are common practice,
no source.
"""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options, Tininess
from softfloat_py.routines.exponent_range import overflowing_exponent_less_one
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    constant,
    field,
    phase,
    resize,
    select,
    shift_left,
    signal,
    subtract_modulo,
)
from softfloat_py.routines.special_operands import default_nan, infinity_or_nan, zero


def shift_right_sticky(x: Bits, distance: Bits) -> Bits:
    """x shifted right, its lowest bit set if anything set was shifted out; distance below x.width.

    Why the result may be added and subtracted in place of the exact number. Let v = x / 2^distance be that
    number and s the result. Where nothing is lost, s = v. Otherwise v lies strictly between two neighbouring
    even numbers, and s, which is v rounded down with its lowest bit set, is the odd one between them. Let L
    be an even number. Then L + v and L + s lie strictly between the same two neighbouring even numbers, and
    so do L - v and L - s. So the sum L + s, or difference L - s, has all the bits of the exact one but the
    lowest; and that one, set because the result is odd, says that the exact one has something there or
    further down. It is a sticky bit again, which is all that rounding asks of it. For an odd L it would come
    out clear: the other operand of a sum must end in a zero where this one has its sticky bit.
    """
    shifted = x >> distance
    lost = shift_left(shifted, distance, x.width) != x
    return shifted | lost


def shift_right_far(x: Bits, distance: Bits) -> Bits:
    """As shift_right_sticky, by any distance: from x.width - 1 on, the sticky bit alone is left."""
    limit = x.width - 1
    distance = resize(select(distance > limit, limit, distance), limit.bit_length())
    return shift_right_sticky(x, distance)


def rounded_up_or_down(significand: Bits, extra: int, sign: Bits, direction: Bits) -> Bits:
    """A significand without its lowest `extra` bits, rounded (clause 4.3); one bit wider for the carry."""
    # Three increments, by what carries into the kept bits.
    half_or_more = 1 << (extra - 1)
    more_than_half = half_or_more - 1
    anything = (1 << extra) - 1
    odd = field(significand, extra, 1)
    increment = resize(odd + more_than_half, extra)  # ties to even
    if direction != Rounding.TIES_TO_EVEN:
        if direction == Rounding.TIES_TO_AWAY:
            increment = constant(half_or_more, extra)
        else:
            away = points_away(sign, direction)
            increment = select(away, constant(anything, extra), constant(0, extra))
    return (significand + increment) >> extra


def points_away(sign: Bits, direction: Bits) -> Bits:
    """Whether a direction that is not to the nearest points away from zero, for numbers of this sign."""
    return (direction == Rounding.TOWARD_POSITIVE) & ~sign | (direction == Rounding.TOWARD_NEGATIVE) & sign


def signal_overflow(sign: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """Signal overflow and deliver an infinity, or the largest finite number where the direction points back
    to it (clause 7.4).
    """
    phase("overflow")
    signal(Flags.OVERFLOW)
    signal(Flags.INEXACT)
    if options.saturate:
        return concatenate(sign, constant(fmt.largest_finite, fmt.width - 1))
    inward = (
        (direction == Rounding.TOWARD_ZERO)
        | (direction == Rounding.TOWARD_POSITIVE) & sign
        | (direction == Rounding.TOWARD_NEGATIVE) & ~sign
    )
    if not fmt.has_infinity:
        largest = concatenate(sign, constant(fmt.largest_finite, fmt.width - 1))
        return select(inward, largest, default_nan(fmt, options))
    # The encoding next below that of an infinity is the largest finite number.
    return infinity_or_nan(sign, fmt, options) - inward


def flush_result(sign: Bits, fmt: BinaryFormat) -> Bits:
    """Deliver a zero in place of a result below the normal range, as a flushing environment does, and signal
    underflow.
    """
    signal(Flags.UNDERFLOW)
    signal(Flags.INEXACT)
    return zero(sign, fmt)


def encode_rounded(
    sign: Bits,
    exponent_less_one: Bits,
    significand: Bits,
    tiny: Bits,
    direction: Bits,
    fmt: BinaryFormat,
    options: Options,
) -> Bits:
    """Round a significand of p + extra bits and pack it.

    The biased exponent is exponent_less_one + 1, from 1 up; without a leading one it must be 1. `tiny` says
    that the result counts as below the normal range. Signals inexact, underflow, overflow.
    """
    phase("round")
    extra = significand.width - fmt.precision
    inexact = field(significand, 0, extra) != 0
    signal(Flags.INEXACT, inexact)
    signal(Flags.UNDERFLOW, inexact & tiny)
    rounded = rounded_up_or_down(significand, extra, sign, direction)
    phase("pack")
    encoded = resize((exponent_less_one << fmt.trailing_bits) + rounded, fmt.width)
    if encoded >= fmt.first_special:
        return signal_overflow(sign, direction, fmt, options)
    return concatenate(sign, resize(encoded, fmt.width - 1))


def round_to_format(
    sign: Bits,
    exponent_less_one: Bits,
    significand: Bits,
    direction: Bits,
    fmt: BinaryFormat,
    options: Options,
) -> Bits:
    """Round a significand with its leading one and two or more extra bits, for any exponent.

    exponent_less_one is a two's complement number. Read as unsigned, a negative one is large as well, so one
    comparison finds results that may lie outside the normal range on either side; one that is too large
    is set to the value from which packing is sure to find an overflow.
    """
    tiny = constant(0, 1)
    largest = overflowing_exponent_less_one(fmt)
    if exponent_less_one >= largest:
        if field(exponent_less_one, exponent_less_one.width - 1, 1):
            phase("below normal range")
            if not options.subnormal_results:
                return flush_result(sign, fmt)
            if options.tininess is Tininess.BEFORE_ROUNDING:
                tiny = constant(1, 1)
            else:
                tiny = is_tiny(sign, exponent_less_one, significand, direction, fmt)
            distance = subtract_modulo(0, exponent_less_one, exponent_less_one.width)
            significand = shift_right_far(significand, distance)
            exponent_less_one = constant(0, exponent_less_one.width)
        else:
            exponent_less_one = constant(largest, exponent_less_one.width)
    exponent_less_one = resize(exponent_less_one, fmt.exponent_bits)
    return encode_rounded(sign, exponent_less_one, significand, tiny, direction, fmt, options)


def is_tiny(
    sign: Bits, exponent_less_one: Bits, significand: Bits, direction: Bits, fmt: BinaryFormat
) -> Bits:
    """Whether a result below the normal range stays there when rounded with an unbounded exponent range.

    This is tininess *after rounding* (clause 7.5 a). Only a significand of all ones, one place below the
    normal range (exponent_less_one = -1) and rounded up, carries and comes out as the smallest normal number.
    """
    rounded = rounded_up_or_down(significand, significand.width - fmt.precision, sign, direction)
    carried = field(rounded, fmt.precision, 1)
    next_to_normal = exponent_less_one == (1 << exponent_less_one.width) - 1
    return ~(next_to_normal & carried)
