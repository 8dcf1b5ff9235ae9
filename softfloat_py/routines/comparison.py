"""Comparisons (IEEE 754-2019, clause 5.6.1 and tables 5.1 to 5.3).

Exactly one of four relations holds between two operands: less, equal, greater, unordered. A predicate is the
set of relations it is true for; it is *signalling* if a quiet NaN makes it invalid too.

Without its sign, an encoding orders as the absolute value does (clause 3.4 puts the exponent above the
significand), so comparing needs no unpacking. Of two magnitudes that differ, the larger one decides alone:

- A NaN lies above all numbers in magnitude. So if either operand is one, the larger is.
- Otherwise the larger one lies above the other if it is positive, below it if it is negative, whatever the
  sign of the other: that one lies between the larger one and its negative.

Of equal magnitudes, one stands for both in the question for a NaN. The operands are then equal if their
encodings are, or if they are zeros, which are equal whatever their signs (clause 5.11); otherwise either
decides, as a larger one does. Where subnormal operands are flushed, those count as zeros; one of them beside
a number that does not has the smaller magnitude, as zero has.

Nothing is asked on which neither the result nor a flag depends. Where no flag can be raised,

- a predicate that is the same for less, greater and unordered is that for all magnitudes that differ;
- a NaN is told from numbers only where that changes the answer, and one comparison of the whole encoding
  tells it and the sign: as unsigned numbers, positive numbers and infinity lie below the NaNs of their sign,
  and these below all that is negative. With the signs turned round, the same is true of negative ones.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, constant, phase, signal
from softfloat_py.routines.special_operands import is_nan, is_signaling
from softfloat_py.routines.unpacking import magnitude_of, sign_of


class Predicate(NamedTuple):
    """The relations that make a comparison true, and whether it signals quiet NaNs."""

    less: bool = False
    equal: bool = False
    greater: bool = False
    unordered: bool = False
    signaling: bool = False


def compare(x: Bits, y: Bits, fmt: BinaryFormat, options: Options, predicate: Predicate) -> Bits:
    """One bit: whether the predicate holds. Signals invalid operation for signalling NaNs, and for quiet
    ones if the predicate is a signalling one.
    """
    phase("compare")
    less, equal, greater = predicate.less, predicate.equal, predicate.greater
    signals = may_signal(fmt, options, predicate)
    first, second = magnitude_of(x, fmt), magnitude_of(y, fmt)
    if asks_for_equality(fmt, options, predicate):
        if first == second:
            return of_equal_magnitudes(x, y, first, fmt, options, predicate)
        if options.subnormal_operands:
            return truth(less)
        return up_to(fmt.leading_one - 1, first | second, equal)
    tells_equal = not less == equal == greater
    if first < second:
        if tells_equal and not options.subnormal_operands:
            if second < fmt.leading_one:
                return truth(equal)
        if signals:
            if is_nan(second, fmt):
                return unordered(first, second, fmt, predicate)
        return of_one(y, second, fmt, options, predicate, less, greater)
    if tells_equal and not options.subnormal_operands:
        if first < fmt.leading_one:
            return truth(equal)
    if signals:
        if is_nan(first, fmt):
            return unordered(first, second, fmt, predicate)
    if tells_equal:
        if first == second:
            return of_equal_magnitudes(x, y, first, fmt, options, predicate)
    return of_one(x, first, fmt, options, predicate, greater, less)


def may_signal(fmt: BinaryFormat, options: Options, predicate: Predicate) -> bool:
    """Whether there are operands for which a flag is raised. A format without infinities has no signalling
    NaN.
    """
    return options.special and options.flags and (predicate.signaling or fmt.has_infinity)


def asks_for_equality(fmt: BinaryFormat, options: Options, predicate: Predicate) -> bool:
    """Whether all that matters is whether operands are equal."""
    if predicate.less != predicate.greater or predicate.less == predicate.equal:
        return False
    nan_differs = predicate.unordered != predicate.less or may_signal(fmt, options, predicate)
    return not (options.special and nan_differs)


def of_equal_magnitudes(
    x: Bits, y: Bits, magnitude: Bits, fmt: BinaryFormat, options: Options, predicate: Predicate
) -> Bits:
    """Whether the predicate holds between operands of this magnitude."""
    if x == y:
        return of_one(x, magnitude, fmt, options, predicate, predicate.equal, predicate.equal)
    if magnitude == 0 if options.subnormal_operands else magnitude < fmt.leading_one:
        return truth(predicate.equal)
    return of_one(x, magnitude, fmt, options, predicate, predicate.greater, predicate.less)


def of_one(
    x: Bits,
    magnitude: Bits,
    fmt: BinaryFormat,
    options: Options,
    predicate: Predicate,
    positive: bool,
    negative: bool,
) -> Bits:
    """Whether the predicate holds where x decides alone: what holds if it is positive, if it is negative, or
    if it is a NaN that has not been asked for yet.
    """
    nan = predicate.unordered
    if not options.special or may_signal(fmt, options, predicate):
        return by_sign(x, fmt, positive, negative)
    if positive == negative == nan:
        return truth(nan)
    largest = fmt.infinity if fmt.has_infinity else fmt.largest_finite
    if positive == negative:
        return up_to(largest, magnitude, positive)
    if negative == nan:
        return up_to(largest, x, positive)
    return up_to(largest, x ^ fmt.sign_bit, negative)


def up_to(limit: int, x: Bits, holds: bool) -> Bits:
    """One bit: what `holds` if x is no larger than the limit, or else the opposite."""
    return x <= limit if holds else x > limit


def truth(holds: bool) -> Bits:
    """One bit that is known before anything runs."""
    return constant(int(holds), 1)


def by_sign(x: Bits, fmt: BinaryFormat, positive: bool, negative: bool) -> Bits:
    """One bit: what holds if x is positive, or what holds if it is negative."""
    if positive == negative:
        return truth(positive)
    return sign_of(x, fmt) if negative else ~sign_of(x, fmt)


def unordered(first: Bits, second: Bits, fmt: BinaryFormat, predicate: Predicate) -> Bits:
    """Whether the predicate holds beside a NaN. The magnitudes say whether it is a signalling one."""
    phase("special operands")
    if predicate.signaling:
        signal(Flags.INVALID_OPERATION)
    else:
        signal(Flags.INVALID_OPERATION, is_signaling(first, fmt) | is_signaling(second, fmt))
    return truth(predicate.unordered)


def comes_after(x: Bits, y: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x comes after y in the order of the encodings by sign, where -0 comes before +0.

    That is their order as unsigned numbers, or the opposite one if either has its sign set.
    """
    if sign_of(x, fmt) | sign_of(y, fmt):
        return x < y
    return y < x
