"""Fused multiply-add, remainders and augmented arithmetic as IEEE 754-2019, ISO C and textbooks state them.

The rules are quoted from memory, with their clauses; numbers they need to stand on were chosen here and
worked by hand, in binary32 unless a source has others.
"""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import binary32, binary64
from tests.published.binary32_encodings import (
    CANONICAL_NAN,
    HALF,
    LARGEST,
    MINUS_0,
    MINUS_1,
    MINUS_2,
    MINUS_INFINITY,
    MINUS_SMALLEST,
    MOST_NEGATIVE,
    PAYLOAD_NAN,
    PLUS_0,
    PLUS_1,
    PLUS_2,
    PLUS_INFINITY,
    SIGNALLING_NAN,
    SMALLEST,
)
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
    Case,
    in_directions,
)

FUSED, REMAINDER, TRUNCATED = "fused_multiply_add", "remainder", "remainder_truncated"
AUGMENTED_SUM, AUGMENTED_DIFFERENCE = "augmented_addition", "augmented_subtraction"
AUGMENTED_PRODUCT = "augmented_multiplication"
ALL = tuple(Rounding)

PLUS_3, MINUS_3, PLUS_5, MINUS_5 = 0x4040_0000, 0xC040_0000, 0x40A0_0000, 0xC0A0_0000
PLUS_6, MINUS_6, PLUS_7 = 0x40C0_0000, 0xC0C0_0000, 0x40E0_0000


def power_of_two(exponent: int) -> int:
    """The encoding of a normal power of two."""
    return (exponent + binary32.bias) << binary32.trailing_bits


Row = tuple[tuple[Rounding, ...], str, tuple[int, ...], int | tuple[int, int], Flags, str]

_FUSED: list[Row] = [
    # One rounding: (1 + 2**-23)**2 - (1 + 2**-22) is 2**-46, and 2 * LARGEST is no overflow on the way.
    (ALL, FUSED, (PLUS_1 + 1, PLUS_1 + 1, MINUS_1 + 2), power_of_two(-46), NONE, "5.4.1"),
    (ALL, FUSED, (LARGEST, PLUS_2, MOST_NEGATIVE), LARGEST, NONE, "5.4.1"),
    # (1 + 2**-12)**2 is the tie 1 + 2**-11 + 2**-24, which the least addend decides.
    ((EVEN, AWAY, UP), FUSED, (PLUS_1 + 0x800, PLUS_1 + 0x800, SMALLEST), PLUS_1 + 0x1001, INEXACT, "4.3"),
    ((EVEN,), FUSED, (PLUS_1 + 0x800, PLUS_1 + 0x800, PLUS_0), PLUS_1 + 0x1000, INEXACT, "4.3.1"),
    (
        (EVEN, DOWN, ZERO),
        FUSED, (PLUS_1 + 0x800, PLUS_1 + 0x800, MINUS_SMALLEST), PLUS_1 + 0x1000, INEXACT, "4.3",
    ),
    # The square of the smallest number counts, however far below 1 it is.
    ((UP,), FUSED, (SMALLEST, SMALLEST, PLUS_1), PLUS_1 + 1, INEXACT, "4.3.2"),
    ((DOWN, ZERO), FUSED, (SMALLEST, MINUS_SMALLEST, PLUS_1), PLUS_1 - 1, INEXACT, "4.3.2"),
    # Subnormal results: exact ones raise nothing.
    (ALL, FUSED, (power_of_two(-100), power_of_two(-49), PLUS_0), SMALLEST, NONE, "7.5"),
    ((EVEN, DOWN, ZERO), FUSED, (SMALLEST, HALF, PLUS_0), PLUS_0, UNDERFLOW, "7.5"),
    # Zeros.
    ((EVEN, AWAY, UP, ZERO), FUSED, (PLUS_0, PLUS_1, MINUS_0), PLUS_0, NONE, "6.3"),
    ((DOWN,), FUSED, (PLUS_0, PLUS_1, MINUS_0), MINUS_0, NONE, "6.3"),
    (ALL, FUSED, (MINUS_0, PLUS_1, MINUS_0), MINUS_0, NONE, "6.3"),
    ((EVEN, AWAY, UP, ZERO), FUSED, (PLUS_2, PLUS_3, MINUS_6), PLUS_0, NONE, "6.3"),
    ((DOWN,), FUSED, (PLUS_2, PLUS_3, MINUS_6), MINUS_0, NONE, "6.3"),
    # Infinities and NaNs. Beside a quiet NaN, clause 7.2 leaves open whether 0 × infinity signals.
    (ALL, FUSED, (PLUS_1, MINUS_1, PLUS_INFINITY), PLUS_INFINITY, NONE, "6.1"),
    (ALL, FUSED, (MINUS_INFINITY, PLUS_2, PLUS_1), MINUS_INFINITY, NONE, "6.1"),
    (ALL, FUSED, (PLUS_0, PLUS_INFINITY, PLUS_1), CANONICAL_NAN, INVALID, "7.2, c"),
    (ALL, FUSED, (MINUS_INFINITY, PLUS_0, PAYLOAD_NAN), CANONICAL_NAN, INVALID, "7.2, c"),
    (ALL, FUSED, (PLUS_INFINITY, PLUS_1, MINUS_INFINITY), CANONICAL_NAN, INVALID, "7.2, d"),
    (ALL, FUSED, (PLUS_1, PLUS_1, SIGNALLING_NAN), CANONICAL_NAN, INVALID, "7.2, a"),
    (ALL, FUSED, (PLUS_1, PAYLOAD_NAN, PLUS_INFINITY), CANONICAL_NAN, NONE, "6.2"),
]  # fmt: skip

_REMAINDERS: list[Row] = [
    # 5/3 is nearer to 2 than to 1; 5/2 and 7/2 lie in the middle, and n is even.
    (ALL, REMAINDER, (PLUS_5, PLUS_3), MINUS_1, NONE, "5.3.1"),
    (ALL, REMAINDER, (PLUS_5, PLUS_2), PLUS_1, NONE, "5.3.1"),
    (ALL, REMAINDER, (PLUS_7, PLUS_2), MINUS_1, NONE, "5.3.1"),
    (ALL, REMAINDER, (PLUS_1, PLUS_2), PLUS_1, NONE, "5.3.1"),
    (ALL, REMAINDER, (PLUS_6, PLUS_3), PLUS_0, NONE, "5.3.1"),
    (ALL, REMAINDER, (MINUS_6, PLUS_3), MINUS_0, NONE, "5.3.1"),
    (ALL, REMAINDER, (PLUS_5, MINUS_INFINITY), PLUS_5, NONE, "5.3.1"),
    (ALL, REMAINDER, (LARGEST, SMALLEST), PLUS_0, NONE, "5.3.1"),
    (ALL, REMAINDER, (PLUS_5, MINUS_0), CANONICAL_NAN, INVALID, "7.2, f"),
    (ALL, REMAINDER, (PLUS_INFINITY, PLUS_3), CANONICAL_NAN, INVALID, "7.2, f"),
    (ALL, REMAINDER, (PLUS_INFINITY, PAYLOAD_NAN), CANONICAL_NAN, NONE, "6.2"),
]

_TRUNCATED: list[Row] = [
    (ALL, TRUNCATED, (PLUS_5, PLUS_3), PLUS_2, NONE, "7.12.10.1"),
    (ALL, TRUNCATED, (MINUS_5, PLUS_3), MINUS_2, NONE, "7.12.10.1"),
    (ALL, TRUNCATED, (PLUS_5, MINUS_3), PLUS_2, NONE, "7.12.10.1"),
    (ALL, TRUNCATED, (MINUS_6, PLUS_3), MINUS_0, NONE, "F.10.7.1"),
    (ALL, TRUNCATED, (MINUS_0, PLUS_3), MINUS_0, NONE, "F.10.7.1"),
    (ALL, TRUNCATED, (MINUS_5, PLUS_INFINITY), MINUS_5, NONE, "F.10.7.1"),
    (ALL, TRUNCATED, (PLUS_INFINITY, PLUS_3), CANONICAL_NAN, INVALID, "F.10.7.1"),
    (ALL, TRUNCATED, (PLUS_5, PLUS_0), CANONICAL_NAN, INVALID, "F.10.7.1"),
]

_AUGMENTED: list[Row] = [
    # Ties go toward zero, from even and from odd numbers, and from above the largest one.
    (ALL, AUGMENTED_SUM, (PLUS_1, power_of_two(-24)), (PLUS_1, power_of_two(-24)), NONE, "9.5"),
    (ALL, AUGMENTED_SUM, (PLUS_1 + 1, power_of_two(-24)), (PLUS_1 + 1, power_of_two(-24)), NONE, "9.5"),
    (ALL, AUGMENTED_SUM, (LARGEST, power_of_two(103)), (LARGEST, power_of_two(103)), NONE, "9.5"),
    (ALL, AUGMENTED_SUM, (LARGEST, power_of_two(103) + 1), (PLUS_INFINITY,) * 2, OVERFLOW, "9.5 and 7.4"),
    (
        ALL,
        AUGMENTED_SUM, (PLUS_1, power_of_two(-24) + 1), (PLUS_1 + 1, 0xB380_0000 - 2), NONE, "9.5",
    ),
    (ALL, AUGMENTED_SUM, (LARGEST, SMALLEST), (LARGEST, SMALLEST), NONE, "9.5"),
    (ALL, AUGMENTED_SUM, (MINUS_1, MINUS_1), (MINUS_2, MINUS_0), NONE, "9.5"),
    (ALL, AUGMENTED_DIFFERENCE, (PLUS_1, PLUS_1), (PLUS_0, PLUS_0), NONE, "9.5 and 6.3"),
    (ALL, AUGMENTED_SUM, (MINUS_INFINITY, PLUS_1), (MINUS_INFINITY,) * 2, NONE, "9.5"),
    (ALL, AUGMENTED_DIFFERENCE, (PLUS_INFINITY, PLUS_INFINITY), (CANONICAL_NAN,) * 2, INVALID, "7.2, d"),
    # (1 + 2**-23)**2 is 1 + 2**-22 + 2**-46; at 2**-126, the last of these is below all numbers.
    (ALL, AUGMENTED_PRODUCT, (PLUS_1 + 1, PLUS_1 + 1), (PLUS_1 + 2, power_of_two(-46)), NONE, "9.5"),
    (ALL, AUGMENTED_PRODUCT, (power_of_two(-63) + 1,) * 2, (0x0080_0002, PLUS_0), UNDERFLOW, "9.5 and 7.5"),
    (ALL, AUGMENTED_PRODUCT, (SMALLEST, HALF), (PLUS_0, PLUS_0), UNDERFLOW, "9.5 and 7.5"),
    (ALL, AUGMENTED_PRODUCT, (MINUS_1, PLUS_2), (MINUS_2, MINUS_0), NONE, "9.5"),
    (ALL, AUGMENTED_PRODUCT, (LARGEST, MINUS_2), (MINUS_INFINITY,) * 2, OVERFLOW, "9.5 and 7.4"),
    (ALL, AUGMENTED_PRODUCT, (PLUS_0, PLUS_INFINITY), (CANONICAL_NAN,) * 2, INVALID, "7.2, b"),
]  # fmt: skip

# The tutorial says that 0.1 is stored as 3602879701896397 / 2**55; ten times that is 1 + 2**-54.
TENTH, TEN, MINUS_1_OF_64, TWO_TO_MINUS_54 = 0x3FB999999999999A, 0x4024 << 48, 0xBFF0 << 48, 0x3C90 << 48
TUTORIAL = "The Python Tutorial, Floating-Point Arithmetic: Issues and Limitations"

CASES = [
    Case(FUSED, binary64, EVEN, (TENTH, TEN, MINUS_1_OF_64), TWO_TO_MINUS_54, NONE, TUTORIAL),
    *(
        case
        for document, rows in (
            ("IEEE 754-2019", [*_FUSED, *_REMAINDERS, *_AUGMENTED]),
            ("ISO/IEC 9899 (C)", _TRUNCATED),
        )
        for directions, operation, operands, result, flags, clause in rows
        for case in in_directions(
            directions, operation, binary32, operands, result, flags, f"{document}, {clause}"
        )
    ),
]
