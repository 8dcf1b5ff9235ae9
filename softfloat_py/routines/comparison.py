"""Comparisons (IEEE 754-2019, clause 5.6.1 and tables 5.1 to 5.3).

Exactly one of four relations holds between two operands: less, equal, greater, unordered. A predicate is the
set of relations it is true for; it is *signalling* if a quiet NaN makes it invalid too.

Without its sign, an encoding orders as the absolute value does (clause 3.4 puts the exponent above the
significand), so comparing needs no unpacking.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.environment import Flags
from softfloat_py.formats import Format
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, constant, phase, select, signal
from softfloat_py.routines.special_operands import flush_operand, is_nan, is_signaling
from softfloat_py.routines.unpacking import magnitude_of, sign_of


class Predicate(NamedTuple):
    """The relations that make a comparison true, and whether it signals quiet NaNs."""

    less: bool = False
    equal: bool = False
    greater: bool = False
    unordered: bool = False
    signaling: bool = False


def compare(x: Bits, y: Bits, fmt: Format, options: Options, predicate: Predicate) -> Bits:
    """One bit: whether the predicate holds. Signals invalid operation for signalling NaNs, and for quiet
    ones if the predicate is a signalling one.
    """
    if options.special:
        phase("special operands")
        if is_nan(x, fmt) | is_nan(y, fmt):
            if predicate.signaling:
                signal(Flags.INVALID_OPERATION)
            else:
                signal(Flags.INVALID_OPERATION, is_signaling(x, fmt) | is_signaling(y, fmt))
            return constant(int(predicate.unordered), 1)
    phase("compare")
    if not options.subnormal_operands:
        x, y = flush_operand(x, fmt), flush_operand(y, fmt)
    equal = is_equal(x, y, fmt)
    result = constant(0, 1)
    if predicate.equal:
        result = result | equal
    if predicate.less:
        result = result | is_less(x, y, fmt)
    if predicate.greater:
        result = result | is_less(y, x, fmt)
    if predicate.less and predicate.equal and predicate.greater:
        return constant(1, 1)
    return result


def is_equal(x: Bits, y: Bits, fmt: Format) -> Bits:
    """Whether two numbers are equal: same encoding, or zeros of any sign (clause 5.11)."""
    return (x == y) | ((magnitude_of(x, fmt) | magnitude_of(y, fmt)) == 0)


def is_less(x: Bits, y: Bits, fmt: Format) -> Bits:
    """Whether x < y, for numbers.

    Of different signs, the negative one is less unless both are zeros. Of the same sign, the encodings order
    as the numbers do, or the other way round if both are negative.
    """
    negative = sign_of(x, fmt)
    some_nonzero = (magnitude_of(x, fmt) | magnitude_of(y, fmt)) != 0
    by_sign = negative & some_nonzero
    by_encoding = select(negative, y < x, x < y)
    return select(negative == sign_of(y, fmt), by_encoding, by_sign)


def orders_below(x: Bits, y: Bits, fmt: Format) -> Bits:
    """Whether x comes before y when -0 comes before +0: the order of the encodings by sign."""
    negative = sign_of(x, fmt)
    return select(negative == sign_of(y, fmt), select(negative, y < x, x < y), negative)
