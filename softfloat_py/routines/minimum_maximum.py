"""The smaller and the larger of two operands (IEEE 754-2019, clause 9.6).

Three questions tell the eight operations apart: minimum or maximum; by value, or by magnitude first; and
whether a NaN is passed on, or the number beside it delivered. In all of them -0 is below +0. A signalling
NaN is an invalid operation in all of them. What is delivered has the options' way with subnormal operands:
where these are read as zeros, a zero is what comes out.

As in comparisons (see comparison), the operand with the larger magnitude is the NaN if there is one, and
otherwise decides alone: it is the larger operand if it is positive, the smaller one if it is negative. Of
equal magnitudes, and of zeros, either decides. So what the options read as a zero is made one in the result.
"""

from __future__ import annotations

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.comparison import comes_after
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
    phase("compare")
    if not (options.special or by_magnitude):
        after = comes_after(x, y, fmt)
        return as_read(select(after, x, y) if larger else select(after, y, x), fmt, options)
    first, second = magnitude_of(x, fmt), magnitude_of(y, fmt)
    if first < second:
        if options.special:
            if is_nan(second, fmt):
                return beside_nan(x, y, x, fmt, options, number)
        return decided(y, x, second, fmt, options, larger, by_magnitude)
    if options.special:
        if is_nan(first, fmt):
            return beside_nan(x, y, y, fmt, options, number)
    if by_magnitude:
        if first == second:
            return by_sign(x, y, fmt, options, larger)
    return decided(x, y, first, fmt, options, larger, by_magnitude)


def decided(
    x: Bits,
    y: Bits,
    magnitude: Bits,
    fmt: BinaryFormat,
    options: Options,
    larger: bool,
    by_magnitude: bool,
) -> Bits:
    """The larger or the smaller of two numbers, of which x has the larger magnitude."""
    if by_magnitude:
        if not options.subnormal_operands:
            if magnitude < fmt.leading_one:
                return by_sign(x, y, fmt, options, larger)
        return as_read(x if larger else y, fmt, options)
    return by_sign(x, y, fmt, options, larger)


def by_sign(x: Bits, y: Bits, fmt: BinaryFormat, options: Options, larger: bool) -> Bits:
    """The larger or the smaller of two numbers, of which x has the larger magnitude or the same."""
    negative = sign_of(x, fmt)
    return as_read(select(negative, y, x) if larger else select(negative, x, y), fmt, options)


def as_read(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x, or the zero that the options read it as."""
    return x if options.subnormal_operands else flush_operand(x, fmt)


def beside_nan(x: Bits, y: Bits, smaller: Bits, fmt: BinaryFormat, options: Options, number: bool) -> Bits:
    """What is delivered where one operand is a NaN: the NaN, or `smaller`, the other one, if a `number` is
    asked for and it is one.
    """
    phase("special operands")
    if number:
        if is_nan(smaller, fmt):
            return nan_of_two(x, y, fmt, options)
        signal(Flags.INVALID_OPERATION, is_signaling(x, fmt) | is_signaling(y, fmt))
        return as_read(smaller, fmt, options)
    return nan_of_two(x, y, fmt, options)
