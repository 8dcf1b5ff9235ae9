"""The smaller and the larger of two operands (IEEE 754-2019, clause 9.6).

Three questions tell the eight operations apart: minimum or maximum; by value, or by magnitude first; and
whether a NaN is passed on, or the number beside it delivered. In all of them -0 is below +0. A signalling
NaN is an invalid operation in all of them. What is delivered has the options' way with subnormal operands:
where these are read as zeros, a zero is what comes out.
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.comparison import orders_below
from softfloat_py.routines.language import Bits, phase, select, signal
from softfloat_py.routines.special_operands import flush_operand, is_nan, is_signaling, nan_of_two
from softfloat_py.routines.unpacking import magnitude_of, sign_of


def maximum(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The larger operand; +0 is larger than -0; a NaN makes the result NaN. Signals invalid operation
    (signalling NaN).
    """
    return extreme_of_two(x, y, fmt, options, larger=True, by_magnitude=False, number=False)


def minimum(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The smaller operand; -0 is smaller than +0; a NaN makes the result NaN. Signals invalid operation
    (signalling NaN).
    """
    return extreme_of_two(x, y, fmt, options, larger=False, by_magnitude=False, number=False)


def maximum_number(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The larger operand, or the number beside a NaN; +0 is larger than -0. Signals invalid operation
    (signalling NaN, even where the number is delivered). Of two NaNs the result is NaN.
    """
    return extreme_of_two(x, y, fmt, options, larger=True, by_magnitude=False, number=True)


def minimum_number(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The smaller operand, or the number beside a NaN; -0 is smaller than +0. Signals invalid operation
    (signalling NaN, even where the number is delivered). Of two NaNs the result is NaN.
    """
    return extreme_of_two(x, y, fmt, options, larger=False, by_magnitude=False, number=True)


def maximum_magnitude(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The operand that is larger in magnitude, with its sign; maximum decides between equal magnitudes, and
    about NaNs.
    """
    return extreme_of_two(x, y, fmt, options, larger=True, by_magnitude=True, number=False)


def minimum_magnitude(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The operand that is smaller in magnitude, with its sign; minimum decides between equal magnitudes, and
    about NaNs.
    """
    return extreme_of_two(x, y, fmt, options, larger=False, by_magnitude=True, number=False)


def maximum_magnitude_number(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The operand that is larger in magnitude, with its sign; maximum_number decides between equal
    magnitudes, and about NaNs.
    """
    return extreme_of_two(x, y, fmt, options, larger=True, by_magnitude=True, number=True)


def minimum_magnitude_number(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The operand that is smaller in magnitude, with its sign; minimum_number decides between equal
    magnitudes, and about NaNs.
    """
    return extreme_of_two(x, y, fmt, options, larger=False, by_magnitude=True, number=True)


def extreme_of_two(
    x: Bits,
    y: Bits,
    fmt: BinaryFormat,
    options: Options,
    larger: bool,
    by_magnitude: bool,
    number: bool,
) -> Bits:
    """The larger or the smaller operand; `number` delivers the number beside a NaN, not the NaN."""
    if options.special:
        phase("special operands")
        if is_nan(x, fmt) | is_nan(y, fmt):
            if number:
                return number_beside_nan(x, y, fmt, options)
            return nan_of_two(x, y, fmt, options)
    phase("compare")
    if not options.subnormal_operands:
        x, y = flush_operand(x, fmt), flush_operand(y, fmt)
    below = orders_below_by_magnitude(x, y, fmt) if by_magnitude else orders_below(x, y, fmt)
    if larger:
        return select(below, y, x)
    return select(below, x, y)


def number_beside_nan(x: Bits, y: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The operand that is no NaN, one of them being one; a NaN where both are."""
    if is_nan(x, fmt) & is_nan(y, fmt):
        return nan_of_two(x, y, fmt, options)
    signal(Flags.INVALID_OPERATION, is_signaling(x, fmt) | is_signaling(y, fmt))
    beside = select(is_nan(x, fmt), y, x)
    return beside if options.subnormal_operands else flush_operand(beside, fmt)


def orders_below_by_magnitude(x: Bits, y: Bits, fmt: BinaryFormat) -> Bits:
    """Whether x is smaller in magnitude than y or, of equal magnitude, the negative one.

    It may be the negative one beside one that is its equal: then either is right.
    """
    first, second = magnitude_of(x, fmt), magnitude_of(y, fmt)
    return (first < second) | ((first == second) & sign_of(x, fmt))
