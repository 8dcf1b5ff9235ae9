"""The neighbours of a number in its format (IEEE 754-2019, clause 5.3.1: nextUp and nextDown).

Encodings of one sign follow each other as their magnitudes do (clause 3.4), from zero through the subnormal
and normal numbers to infinity, so the neighbour is found by adding or subtracting one. Nothing is flushed:
the neighbours are those of the format, whatever the options say of subnormal numbers.

A format without infinity has nothing above its largest number, and delivers the default NaN there, as it
does wherever a format with infinities would deliver one. This is a choice of this library.
"""

from __future__ import annotations

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.language import Bits, constant, phase, resize, select
from softfloat_py.routines.special_operands import default_nan, is_nan, nan_of_one
from softfloat_py.routines.unpacking import is_special, magnitude_of, sign_of


def next_up(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The least number of the format that is greater than x; infinity stays. Signals invalid operation
    (signalling NaN) only.
    """
    return neighbour(x, fmt, options, below=False)


def next_down(x: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """The greatest number of the format that is less than x; -infinity stays. Signals invalid operation
    (signalling NaN) only.
    """
    return neighbour(x, fmt, options, below=True)


def neighbour(x: Bits, fmt: BinaryFormat, options: Options, below: bool) -> Bits:
    """The next number above x or below it, which on one side of zero is the next one outward."""
    phase("next number")
    sign = sign_of(x, fmt)
    outward = sign if below else ~sign
    if options.special:
        phase("special operands")
        if is_special(x, fmt):
            if is_nan(x, fmt):
                return nan_of_one(x, fmt, options)
            if outward:
                return x
    phase("next number")
    outward_sign = fmt.sign_bit if below else 0
    if magnitude_of(x, fmt) == 0:
        return constant(outward_sign | fmt.smallest_subnormal, fmt.width)
    if not fmt.has_infinity:
        if x == outward_sign | fmt.largest_finite:
            return default_nan(fmt, options)
    return select(outward, resize(x + 1, fmt.width), x - 1)
