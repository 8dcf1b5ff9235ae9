"""Comparisons (IEEE 754-2019, clause 5.6.1 and tables 5.1 to 5.3).

Exactly one of four relations holds between two operands: less, equal, greater, unordered. A predicate is the
set of relations it is true for; it is *signalling* if a quiet NaN makes it invalid too.

Without its sign, an encoding orders as the absolute value does (clause 3.4 puts the exponent above the
significand), so comparing needs no unpacking. Of two magnitudes that differ, the larger one decides alone:

- A NaN lies above all numbers in magnitude. So if either operand is one, the larger is.
- Otherwise the larger one lies above the other if it is positive, below it if it is negative, whatever the
  sign of the other: that one lies between the larger one and its negative.

Of equal magnitudes, one stands for both in the question for a NaN. The operands are then equal if their signs
are, or if they are zeros, which are equal whatever their signs (clause 5.11); otherwise the sign of either
decides. Where subnormal operands are flushed, two operands that both count as zero are equal. One of them
beside a number that does not has the smaller magnitude, as zero has.

So every predicate takes the same steps up to the relation, and all that tells predicates apart is which of
three bits is delivered then: none is made of two others.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, constant, phase, select, signal
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
    first, second = magnitude_of(x, fmt), magnitude_of(y, fmt)
    if not options.subnormal_operands:
        if (first | second) < fmt.leading_one:
            return truth(predicate.equal)
    if first < second:
        if options.special:
            if is_nan(second, fmt):
                return unordered(first, second, fmt, predicate)
        return by_sign(y, fmt, positive=predicate.less, negative=predicate.greater)
    if second < first:
        if options.special:
            if is_nan(first, fmt):
                return unordered(first, second, fmt, predicate)
        return by_sign(x, fmt, positive=predicate.greater, negative=predicate.less)
    # Equal magnitudes: one stands for both.
    if options.special:
        if is_nan(first, fmt):
            return unordered(first, second, fmt, predicate)
    if x != y:
        if first != 0:
            return by_sign(x, fmt, positive=predicate.greater, negative=predicate.less)
    return truth(predicate.equal)


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


def orders_below(x: Bits, y: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x comes before y when -0 comes before +0: the order of the encodings by sign."""
    negative = sign_of(x, fmt)
    return select(negative == sign_of(y, fmt), select(negative, y < x, x < y), negative)
