"""Decimal texts that are known to be hard to read: at and beside the middle between two numbers, at the ends
of the range, and those on which widespread readers once failed. All are from memory; ties go to even.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.environment import Flags
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
from tests.published.case import INEXACT, NONE, OVERFLOW, UNDERFLOW


class TextCase(NamedTuple):
    """A text and the encoding that it is."""

    format: Format
    text: str
    result: int
    flags: Flags
    source: str


NOT_ENDING = "reports of 2010 and 2011 on programs that never finished reading this text"
LIMITS = "the limits of C's <float.h>, with the middles beyond them worked out"
GAY = (
    "D. Gay, Correctly Rounded Binary-Decimal and Decimal-Binary Conversions, 1990: 1e23 is not nearest 1e23"
)
TIE = "IEEE 754-2019, 4.3.1: a tie goes to the even significand"

CASES = [
    # The largest subnormal number, and one unit in the last digit above: the smallest normal, 2**-1022. That
    # lies 1.8e-324 above the text, where numbers of 53 bits are 2.5e-324 apart: tiny after rounding too.
    TextCase(binary64, "2.2250738585072011e-308", 0x000FFFFFFFFFFFFF, UNDERFLOW, NOT_ENDING),
    TextCase(binary64, "2.2250738585072012e-308", 0x0010000000000000, UNDERFLOW, NOT_ENDING),
    TextCase(binary64, "1e23", 0x44B52D02C7E14AF6, INEXACT, GAY),
    TextCase(binary64, "1.7976931348623157e308", 0x7FEFFFFFFFFFFFFF, INEXACT, LIMITS),
    TextCase(binary64, "1.7976931348623158e308", 0x7FEFFFFFFFFFFFFF, INEXACT, LIMITS),
    TextCase(binary64, "1.7976931348623159e308", 0x7FF0000000000000, OVERFLOW, LIMITS),
    TextCase(binary64, "4.9406564584124654e-324", 0x0000000000000001, UNDERFLOW, LIMITS),
    # Half the smallest number is 2.4703282292062327208...e-324.
    TextCase(binary64, "2.4703282292062327e-324", 0x0000000000000000, UNDERFLOW, LIMITS),
    TextCase(binary64, "2.4703282292062328e-324", 0x0000000000000001, UNDERFLOW, LIMITS),
    TextCase(binary32, "3.4028234e38", 0x7F7FFFFF, INEXACT, LIMITS),
    # 2**128 - 2**103 lies in the middle between the largest number and 2**128.
    TextCase(binary32, "340282356779733661637539395458142568447", 0x7F7FFFFF, INEXACT, LIMITS),
    TextCase(binary32, "340282356779733661637539395458142568448", 0x7F800000, OVERFLOW, LIMITS),
    TextCase(binary32, "1.17549435e-38", 0x00800000, INEXACT, LIMITS),
    # The first whole number that binary64 lacks.
    TextCase(binary64, "9007199254740993", 0x4340000000000000, INEXACT, TIE),
    TextCase(binary64, "9007199254740993.00000000000000000000000000000001", 0x4340000000000001, INEXACT, TIE),
    TextCase(binary64, "9007199254740995", 0x4340000000000002, INEXACT, TIE),
    # 1 + 2**-24 is a tie in binary32; so is 1 + 2**-11 in binary16.
    TextCase(binary32, "1.000000059604644775390625", 0x3F800000, INEXACT, TIE),
    TextCase(binary32, "1.000000059604644775390625000000000000000001", 0x3F800001, INEXACT, TIE),
    TextCase(binary16, "1.00048828125", 0x3C00, INEXACT, TIE),
    TextCase(binary16, "65519.99", 0x7BFF, INEXACT, "IEEE 754-2019, 4.3.1: 65520 is the middle"),
    TextCase(binary16, "65520", 0x7C00, OVERFLOW, "IEEE 754-2019, 4.3.1: 65520 is the middle"),
    TextCase(binary16, "6.103515625e-05", 0x0400, NONE, "IEEE 754-2019, table 3.5: 2**-14 is normal"),
]
