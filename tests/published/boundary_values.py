"""What IEEE 754-2019 states of neighbours, integers, powers of two, orders and extremes; from memory.

The numbers were chosen here, in binary32 unless the rule needs another format. What is delivered where the
standard only asks for invalid operation, logB of zero, infinity and NaN, is this project's choice within it.
"""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import binary16, binary32, ofp8_e4m3
from softfloat_py.routines.sign_and_class import FloatClass
from tests.published.binary32_encodings import (
    CANONICAL_NAN,
    HALF,
    LARGEST,
    LARGEST_SUBNORMAL,
    MINUS_0,
    MINUS_1,
    MINUS_2,
    MINUS_HALF,
    MINUS_INFINITY,
    MINUS_SMALLEST,
    MOST_NEGATIVE,
    NEGATIVE_NAN,
    PAYLOAD_NAN,
    PLUS_0,
    PLUS_1,
    PLUS_2,
    PLUS_INFINITY,
    SIGNALLING_NAN,
    SMALLEST,
    SMALLEST_NORMAL,
)
from tests.published.case import EVEN, INEXACT, INVALID, NONE, OVERFLOW, UNDERFLOW, Case, in_directions

Row = tuple[str, tuple[int, ...], int, Flags, str]

NEGATIVE_SIGNALLING_NAN = SIGNALLING_NAN | MINUS_0
TWO_AND_A_HALF, MINUS_TWO_AND_A_HALF = 0x4020_0000, 0xC020_0000
# 2**23 + 1 and 2**23 - 1/2: the first number without a fraction is 2**23.
BEYOND_FRACTIONS, LAST_FRACTION, TWO_TO_23 = 0x4B00_0001, 0x4AFF_FFFF, 0x4B00_0000

_NEIGHBOURS: list[Row] = [
    ("next_up", (PLUS_0,), SMALLEST, NONE, "5.3.1"),
    ("next_up", (MINUS_0,), SMALLEST, NONE, "5.3.1"),
    ("next_up", (MINUS_SMALLEST,), MINUS_0, NONE, "5.3.1"),
    ("next_up", (LARGEST,), PLUS_INFINITY, NONE, "5.3.1"),
    ("next_up", (PLUS_INFINITY,), PLUS_INFINITY, NONE, "5.3.1"),
    ("next_up", (MINUS_INFINITY,), MOST_NEGATIVE, NONE, "5.3.1"),
    ("next_up", (LARGEST_SUBNORMAL,), SMALLEST_NORMAL, NONE, "5.3.1"),
    ("next_up", (PAYLOAD_NAN,), CANONICAL_NAN, NONE, "5.3.1"),
    ("next_up", (SIGNALLING_NAN,), CANONICAL_NAN, INVALID, "5.3.1"),
    ("next_down", (PLUS_0,), MINUS_SMALLEST, NONE, "5.3.1: nextDown(x) is -nextUp(-x)"),
    ("next_down", (SMALLEST,), PLUS_0, NONE, "5.3.1: nextDown(x) is -nextUp(-x)"),
    ("next_down", (PLUS_INFINITY,), LARGEST, NONE, "5.3.1: nextDown(x) is -nextUp(-x)"),
    ("next_down", (MINUS_INFINITY,), MINUS_INFINITY, NONE, "5.3.1: nextDown(x) is -nextUp(-x)"),
]

# 2.5, -2.5, 1/2 and -1/2 in the direction of each name; a zero keeps the operand's sign.
_INTEGRAL_VALUES = {
    "ties_to_even": (PLUS_2, MINUS_2, PLUS_0, MINUS_0),
    "ties_to_away": (0x4040_0000, 0xC040_0000, PLUS_1, MINUS_1),
    "toward_positive": (0x4040_0000, MINUS_2, PLUS_1, MINUS_0),
    "toward_negative": (PLUS_2, 0xC040_0000, PLUS_0, MINUS_1),
    "toward_zero": (PLUS_2, MINUS_2, PLUS_0, MINUS_0),
}
_FRACTIONS = (TWO_AND_A_HALF, MINUS_TWO_AND_A_HALF, HALF, MINUS_HALF)

_INTEGRAL: list[Row] = [
    (f"round_to_integral_{direction}", (operand,), result, NONE, "5.9")
    for direction, results in _INTEGRAL_VALUES.items()
    for operand, result in zip(_FRACTIONS, results, strict=True)
]
_INTEGRAL += [
    (f"round_to_integral_{direction}", (operand,), operand, NONE, "5.9 and 6.3")
    for direction in _INTEGRAL_VALUES
    for operand in (PLUS_0, MINUS_0, PLUS_INFINITY, MINUS_INFINITY, BEYOND_FRACTIONS, MOST_NEGATIVE)
]
_INTEGRAL += [
    ("round_to_integral_ties_to_even", (LAST_FRACTION,), TWO_TO_23, NONE, "5.9"),
    ("round_to_integral_toward_zero", (LAST_FRACTION,), LAST_FRACTION - 1, NONE, "5.9"),
    ("round_to_integral_toward_positive", (MINUS_SMALLEST,), MINUS_0, NONE, "5.9 and 6.3"),
    ("round_to_integral_toward_zero", (SIGNALLING_NAN,), CANONICAL_NAN, INVALID, "5.9 and 7.2, a"),
]

# Only the operation named Exact signals inexact; it takes the direction of the environment.
EXACT_CLAUSE = "IEEE 754-2019, 5.9"
_INTEGRAL_EXACT = [
    Case("round_to_integral_exact", binary32, rounding, (operand,), results[place], INEXACT, EXACT_CLAUSE)
    for rounding in Rounding
    for results in [_INTEGRAL_VALUES[rounding.name.lower()]]
    for place, operand in enumerate(_FRACTIONS)
]  # fmt: skip

MOST_BITS, LOWEST_BITS = 0x7FFF_FFFF, 0x8000_0000  # 2**31 - 1 and -2**31


def _n(value: int) -> int:
    """An integer operand's bits."""
    return value % 2**32


_POWERS_OF_TWO: list[Row] = [
    ("scale_b", (PLUS_1, _n(1)), PLUS_2, NONE, "5.3.3"),
    ("scale_b", (MINUS_1, _n(-149)), MINUS_SMALLEST, NONE, "5.3.3"),
    ("scale_b", (SMALLEST, _n(149)), PLUS_1, NONE, "5.3.3"),
    ("scale_b", (SMALLEST, _n(276)), 0x7F00_0000, NONE, "5.3.3"),
    ("scale_b", (PLUS_1, _n(128)), PLUS_INFINITY, OVERFLOW, "5.3.3 and 7.4"),
    ("scale_b", (PLUS_1, MOST_BITS), PLUS_INFINITY, OVERFLOW, "5.3.3 and 7.4"),
    ("scale_b", (MINUS_1, LOWEST_BITS), MINUS_0, UNDERFLOW, "5.3.3 and 7.5"),
    ("scale_b", (PLUS_1, _n(-150)), PLUS_0, UNDERFLOW, "5.3.3 and 4.3.1: a tie with zero"),
    ("scale_b", (MINUS_0, MOST_BITS), MINUS_0, NONE, "5.3.3"),
    ("scale_b", (MINUS_INFINITY, LOWEST_BITS), MINUS_INFINITY, NONE, "5.3.3"),
    ("scale_b", (SIGNALLING_NAN, _n(0)), CANONICAL_NAN, INVALID, "5.3.3 and 7.2, a"),
    ("log_b", (PLUS_1,), 0, NONE, "5.3.3"),
    ("log_b", (HALF,), _n(-1), NONE, "5.3.3"),
    ("log_b", (MOST_NEGATIVE,), 127, NONE, "5.3.3"),
    ("log_b", (SMALLEST,), _n(-149), NONE, "5.3.3: subnormal as if normal"),
    ("log_b", (LARGEST_SUBNORMAL,), _n(-127), NONE, "5.3.3: subnormal as if normal"),
    ("log_b", (MINUS_0,), LOWEST_BITS, INVALID, "5.3.3"),
    ("log_b", (MINUS_INFINITY,), MOST_BITS, INVALID, "5.3.3"),
    ("log_b", (CANONICAL_NAN,), MOST_BITS, INVALID, "5.3.3"),
]

# The order of the clause, from the first to the last.
_TOTAL_ORDER = [
    NEGATIVE_NAN, NEGATIVE_SIGNALLING_NAN, MINUS_INFINITY, MOST_NEGATIVE, MINUS_1, MINUS_SMALLEST, MINUS_0,
    PLUS_0, SMALLEST, PLUS_1, LARGEST, PLUS_INFINITY, SIGNALLING_NAN, CANONICAL_NAN, PAYLOAD_NAN,
]  # fmt: skip

_ORDERS: list[Row] = [
    ("total_order", (x, y), int(first <= second), NONE, "5.10")
    for first, x in enumerate(_TOTAL_ORDER)
    for second, y in enumerate(_TOTAL_ORDER)
]
_ORDERS += [
    ("total_order_magnitude", (MINUS_2, PLUS_1), 0, NONE, "5.10"),
    ("total_order_magnitude", (PLUS_0, MINUS_0), 1, NONE, "5.10"),
    ("total_order_magnitude", (MINUS_0, PLUS_0), 1, NONE, "5.10"),
]

_CLASSES: list[Row] = [
    ("classify", (operand,), member, NONE, "5.7.2")
    for operand, member in {
        SIGNALLING_NAN: FloatClass.SIGNALING_NAN,
        NEGATIVE_NAN: FloatClass.QUIET_NAN,
        MINUS_INFINITY: FloatClass.NEGATIVE_INFINITY,
        MOST_NEGATIVE: FloatClass.NEGATIVE_NORMAL,
        MINUS_SMALLEST: FloatClass.NEGATIVE_SUBNORMAL,
        MINUS_0: FloatClass.NEGATIVE_ZERO,
        PLUS_0: FloatClass.POSITIVE_ZERO,
        LARGEST_SUBNORMAL: FloatClass.POSITIVE_SUBNORMAL,
        SMALLEST_NORMAL: FloatClass.POSITIVE_NORMAL,
        PLUS_INFINITY: FloatClass.POSITIVE_INFINITY,
    }.items()
]

_SIGNS: list[Row] = [
    ("copy", (SIGNALLING_NAN,), SIGNALLING_NAN, NONE, "5.5.1"),
    ("copy_sign", (PLUS_1, MINUS_0), MINUS_1, NONE, "5.5.1"),
    ("copy_sign", (NEGATIVE_SIGNALLING_NAN, PLUS_1), SIGNALLING_NAN, NONE, "5.5.1"),
    ("copy_sign", (PLUS_2, NEGATIVE_NAN), MINUS_2, NONE, "5.5.1"),
]

# Of zeros, numbers beside NaNs, and magnitudes that are equal.
_EXTREMES: list[Row] = [
    ("maximum_number", (MINUS_0, PLUS_0), PLUS_0, NONE, "9.6"),
    ("minimum_number", (PLUS_0, MINUS_0), MINUS_0, NONE, "9.6"),
    ("maximum_number", (PAYLOAD_NAN, MINUS_2), MINUS_2, NONE, "9.6"),
    ("minimum_number", (PLUS_1, CANONICAL_NAN), PLUS_1, NONE, "9.6"),
    ("maximum_number", (SIGNALLING_NAN, PLUS_1), PLUS_1, INVALID, "9.6"),
    ("minimum_number", (MINUS_1, SIGNALLING_NAN), MINUS_1, INVALID, "9.6"),
    ("minimum_number", (PAYLOAD_NAN, NEGATIVE_NAN), CANONICAL_NAN, NONE, "9.6"),
    ("maximum_number", (SIGNALLING_NAN, PAYLOAD_NAN), CANONICAL_NAN, INVALID, "9.6"),
    ("maximum_magnitude", (MINUS_2, PLUS_1), MINUS_2, NONE, "9.6"),
    ("minimum_magnitude", (MINUS_1, PLUS_2), MINUS_1, NONE, "9.6"),
    ("maximum_magnitude", (MINUS_1, PLUS_1), PLUS_1, NONE, "9.6"),
    ("minimum_magnitude", (PLUS_1, MINUS_1), MINUS_1, NONE, "9.6"),
    ("maximum_magnitude", (MINUS_INFINITY, CANONICAL_NAN), CANONICAL_NAN, NONE, "9.6"),
    ("minimum_magnitude", (SIGNALLING_NAN, PLUS_0), CANONICAL_NAN, INVALID, "9.6"),
    ("maximum_magnitude_number", (MINUS_2, PAYLOAD_NAN), MINUS_2, NONE, "9.6"),
    ("minimum_magnitude_number", (MINUS_0, PLUS_0), MINUS_0, NONE, "9.6"),
    ("minimum_magnitude_number", (SIGNALLING_NAN, MINUS_INFINITY), MINUS_INFINITY, INVALID, "9.6"),
]

_ROWS = [*_NEIGHBOURS, *_INTEGRAL, *_POWERS_OF_TWO, *_ORDERS, *_CLASSES, *_SIGNS, *_EXTREMES]

OFP8 = (
    "OCP 8-bit Floating Point Specification, 1.0: no infinity; that NaN comes next is this project's choice"
)

CASES = [
    case
    for operation, operands, result, flags, clause in _ROWS
    for case in in_directions(
        [EVEN], operation, binary32, operands, result, flags, f"IEEE 754-2019, {clause}"
    )
] + [
    *_INTEGRAL_EXACT,
    # The largest number is 448, its encoding 0x7E; that of the NaN is 0x7F.
    Case("next_up", ofp8_e4m3, EVEN, (0x7E,), 0x7F, NONE, OFP8),
    Case("next_down", ofp8_e4m3, EVEN, (0xFE,), 0x7F, NONE, OFP8),
    Case("log_b", ofp8_e4m3, EVEN, (0x7E,), 8, NONE, OFP8),
    # From 1024 on a number of binary16 has no fraction; 1023.5 is the last that has.
    Case("round_to_integral_ties_to_even", binary16, EVEN, (0x63FF,), 0x6400, NONE, "IEEE 754-2019, 5.9"),
]
