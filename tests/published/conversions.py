"""Conversions between formats and with integers, after IEEE 754-2019, clauses 5.4.1, 5.4.2, 5.8 and 7.

The clauses are quoted from memory, the numbers were chosen here and worked by hand. That an integer out of
range saturates and a NaN gives 0 is a choice of this project; the standard asks for invalid operation.
"""

from __future__ import annotations

from softfloat_py.environment import Rounding
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import bfloat16, binary16, binary32, binary64
from tests.published.case import (
    AWAY,
    DOWN,
    EVEN,
    INEXACT,
    INVALID,
    NONE,
    OVERFLOW,
    UNDERFLOW,
    UP,
    ZERO,
    FormatConversion,
    FromInteger,
    ToInteger,
)

WIDER, NARROWER, EXCEPTIONS = (f"IEEE 754-2019, {clause}" for clause in ("5.4.2", "4.3 and 5.4.2", "7"))

FORMAT_CONVERSIONS = [
    # A wider format has every number of the narrower one: the smallest subnormal becomes normal.
    FormatConversion(binary16, binary32, EVEN, 0x0001, 0x33800000, NONE, WIDER),
    FormatConversion(binary16, binary32, EVEN, 0x8000, 0x80000000, NONE, WIDER),
    FormatConversion(binary16, binary64, EVEN, 0x7BFF, 0x40EFFC0000000000, NONE, WIDER),
    FormatConversion(binary32, binary64, EVEN, 0xFF800000, 0xFFF0000000000000, NONE, WIDER),
    FormatConversion(bfloat16, binary32, EVEN, 0x3EAB, 0x3EAB0000, NONE, WIDER),
    # 1 + 2**-11 is a tie in binary16; 1 + 2**-11 + 2**-23 is above it.
    FormatConversion(binary32, binary16, EVEN, 0x3F801000, 0x3C00, INEXACT, NARROWER),
    FormatConversion(binary32, binary16, AWAY, 0x3F801000, 0x3C01, INEXACT, NARROWER),
    FormatConversion(binary32, binary16, EVEN, 0x3F801001, 0x3C01, INEXACT, NARROWER),
    FormatConversion(binary32, binary16, ZERO, 0x3F801001, 0x3C00, INEXACT, NARROWER),
    # 1 + 2**-8 + 2**-40 would be a tie, and round to 1, if it were rounded to binary32 on the way.
    FormatConversion(binary64, bfloat16, EVEN, 0x3FF0100000001000, 0x3F81, INEXACT, NARROWER),
    # 65520 lies halfway between the largest binary16 number, 65504, and 65536.
    FormatConversion(binary32, binary16, EVEN, 0x477FF000, 0x7C00, OVERFLOW, EXCEPTIONS),
    FormatConversion(binary32, binary16, DOWN, 0x477FF000, 0x7BFF, INEXACT, EXCEPTIONS),
    FormatConversion(binary32, binary16, EVEN, 0x477FEFFF, 0x7BFF, INEXACT, EXCEPTIONS),
    # 2**-25 lies halfway between zero and the smallest binary16 number.
    FormatConversion(binary32, binary16, EVEN, 0x33000000, 0x0000, UNDERFLOW, EXCEPTIONS),
    FormatConversion(binary32, binary16, UP, 0x33000000, 0x0001, UNDERFLOW, EXCEPTIONS),
    FormatConversion(binary32, binary16, DOWN, 0xB3000000, 0x8001, UNDERFLOW, EXCEPTIONS),
    # 3 * 2**-24 is subnormal in binary16 and exact.
    FormatConversion(binary32, binary16, EVEN, 0x34400000, 0x0003, NONE, EXCEPTIONS),
    # NaNs become the canonical one; the signalling one is invalid.
    FormatConversion(binary32, binary16, EVEN, 0xFFC01234, 0x7E00, NONE, EXCEPTIONS),
    FormatConversion(binary32, binary64, EVEN, 0x7F800001, 0x7FF8000000000000, INVALID, EXCEPTIONS),
]

ROUNDED_INTEGER = "IEEE 754-2019, 5.8"
INVALID_INTEGER = "IEEE 754-2019, 5.8 and 7.2, i; saturation is this project's choice"
INT8, INT32, INT64, UINT8, UINT32, UINT64 = (
    IntegerFormat(width, signed) for signed in (True, False) for width in (8, 32, 64)
)
# 2.5 and -2.5, in the order of Rounding: ties to even, to away, up, down, toward zero.
_HALVES = {0x40200000: (2, 3, 3, 2, 2), 0xC0200000: (-2, -3, -2, -3, -2)}

TO_INTEGER = [
    ToInteger(binary32, rounding, INT32, operand, result, NONE, ROUNDED_INTEGER)
    for operand, results in _HALVES.items()
    for rounding, result in zip(Rounding, results, strict=True)
] + [
    ToInteger(binary32, EVEN, INT32, 0x80000000, 0, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, UP, INT32, 0x00000001, 1, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, EVEN, INT32, 0xCF000000, -(2**31), NONE, ROUNDED_INTEGER),
    ToInteger(binary32, EVEN, INT32, 0x4F000000, 2**31 - 1, INVALID, INVALID_INTEGER),
    ToInteger(binary32, EVEN, INT64, 0x4F000000, 2**31, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, EVEN, INT32, 0xFF800000, -(2**31), INVALID, INVALID_INTEGER),
    ToInteger(binary32, EVEN, INT32, 0x7FC00000, 0, INVALID, INVALID_INTEGER),
    # 127.5 fits eight bits only where it is rounded down; the range is asked after rounding.
    ToInteger(binary32, DOWN, INT8, 0x42FF0000, 127, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, EVEN, INT8, 0x42FF0000, 127, INVALID, INVALID_INTEGER),
    # Unsigned, the range goes twice as far up, and ends where a number rounds to zero.
    ToInteger(binary32, EVEN, UINT8, 0x437F0000, 255, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, DOWN, UINT8, 0x437FFFFF, 255, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, EVEN, UINT8, 0x437F8000, 255, INVALID, INVALID_INTEGER),
    ToInteger(binary32, EVEN, UINT32, 0x4F000000, 2**31, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, EVEN, UINT32, 0x4F800000, 2**32 - 1, INVALID, INVALID_INTEGER),
    ToInteger(binary32, EVEN, UINT32, 0xBF000000, 0, NONE, ROUNDED_INTEGER),
    ToInteger(binary32, AWAY, UINT32, 0xBF000000, 0, INVALID, INVALID_INTEGER),
    ToInteger(binary32, EVEN, UINT64, 0xFF800000, 0, INVALID, INVALID_INTEGER),
]

FROM_INTEGER = [
    FromInteger(binary32, DOWN, INT32, 0, 0x00000000, NONE, "IEEE 754-2019, 5.4.1: zero becomes +0"),
    FromInteger(binary32, EVEN, INT32, -1, 0xBF800000, NONE, "IEEE 754-2019, 5.4.1"),
    FromInteger(binary32, EVEN, INT32, -(2**31), 0xCF000000, NONE, "IEEE 754-2019, 5.4.1"),
    # 2**24 + 1 is the first whole number that binary32 lacks, a tie.
    FromInteger(binary32, EVEN, INT32, 2**24 + 1, 0x4B800000, INEXACT, "IEEE 754-2019, 4.3 and 5.4.1"),
    FromInteger(binary32, AWAY, INT32, 2**24 + 1, 0x4B800001, INEXACT, "IEEE 754-2019, 4.3 and 5.4.1"),
    FromInteger(binary64, EVEN, INT64, 2**53 + 1, 0x4340 << 48, INEXACT, "IEEE 754-2019, 4.3 and 5.4.1"),
    FromInteger(binary32, EVEN, UINT32, 2**32 - 1, 0x4F800000, INEXACT, "IEEE 754-2019, 4.3 and 5.4.1"),
    FromInteger(binary64, EVEN, UINT64, 2**63, 0x43E0000000000000, NONE, "IEEE 754-2019, 5.4.1"),
    FromInteger(binary16, EVEN, INT32, 65520, 0x7C00, OVERFLOW, "IEEE 754-2019, 4.3.1 and 7.4"),
    FromInteger(binary16, ZERO, INT32, -65536, 0xFBFF, OVERFLOW, "IEEE 754-2019, 7.4"),
]
