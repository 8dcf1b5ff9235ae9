"""What IEEE 754-2019 itself states: parameters, rounding rules, signs, default results, classes.

The rules are quoted from memory of the standard's text, with their clauses. Where a rule needs numbers to
stand on, they were chosen here and worked by hand, in binary32. NaN results are the canonical one, which is
a choice of this project within clause 6.2.
"""

from __future__ import annotations

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64
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
from tests.published.case import (
    AWAY,
    BY_ZERO,
    DOWN,
    EVEN,
    INEXACT,
    INVALID,
    NONE,
    OVERFLOW,
    UNDERFLOW,
    UP,
    ZERO,
    in_directions,
)

# Table 3.5: k, w, p, t, emax, bias.
PARAMETER_NAMES = ("width", "exponent_bits", "precision", "trailing_bits", "emax", "bias")
PARAMETERS: dict[Format, tuple[int, ...]] = {
    binary16: (16, 5, 11, 10, 15, 15),
    binary32: (32, 8, 24, 23, 127, 127),
    binary64: (64, 11, 53, 52, 1023, 1023),
}

ADD, SUBTRACT, MULTIPLY, DIVIDE, ROOT = "addition", "subtraction", "multiplication", "division", "square_root"

Row = tuple[str, tuple[int, ...], int, Flags, str]

# Exponent -24: half of the spacing above 1. Exponent 103: half of the spacing of the largest finite number.
HALF_ULP_OF_1, MINUS_HALF_ULP_OF_1, HALF_ULP_OF_LARGEST = 0x3380_0000, 0xB380_0000, 0x7300_0000
TWO_TO_127 = 0x7F00_0000

# (31 * 2**-60) * (1082401 * 2**-91) is (2**25 - 1) * 2**-151. In 24 bits with exponents unbounded that is a
# tie, which nearest and upward rounding carry to 2**-126: not tiny after rounding, though tiny before it.
TINY_ONLY_BEFORE_ROUNDING = (0x23F8_0000, 0x1C04_2108)
# (2**24 - 1) * 2**-150 has 24 bits, so it is tiny after rounding even where 2**-126 is delivered.
TINY_AFTER_ROUNDING = (0x00FF_FFFF, HALF)

# Operation, operands, result, flags, clause: outcomes that some of the directions share.
_BY_DIRECTION: list[tuple[tuple[Rounding, ...], list[Row]]] = [
    (
        (EVEN, AWAY, UP),
        [
            (ADD, (PLUS_1 + 1, HALF_ULP_OF_1), PLUS_1 + 2, INEXACT, "4.3"),
            (ADD, (LARGEST, HALF_ULP_OF_LARGEST), PLUS_INFINITY, OVERFLOW, "4.3.1 and 7.4"),
            (MULTIPLY, (PLUS_2, TWO_TO_127), PLUS_INFINITY, OVERFLOW, "7.4, a and d"),
            (MULTIPLY, TINY_AFTER_ROUNDING, SMALLEST_NORMAL, UNDERFLOW, "7.5, a"),
            (MULTIPLY, TINY_ONLY_BEFORE_ROUNDING, SMALLEST_NORMAL, INEXACT, "7.5, a"),
        ],
    ),
    (
        (DOWN, ZERO),
        [
            (ADD, (PLUS_1, HALF_ULP_OF_1), PLUS_1, INEXACT, "4.3.2"),
            (ADD, (PLUS_1 + 1, HALF_ULP_OF_1), PLUS_1 + 1, INEXACT, "4.3.2"),
            (ADD, (LARGEST, HALF_ULP_OF_LARGEST), LARGEST, INEXACT, "4.3.2"),
            (MULTIPLY, (PLUS_2, TWO_TO_127), LARGEST, OVERFLOW, "7.4, b and c"),
            (MULTIPLY, TINY_AFTER_ROUNDING, LARGEST_SUBNORMAL, UNDERFLOW, "7.5, a"),
            (MULTIPLY, TINY_ONLY_BEFORE_ROUNDING, LARGEST_SUBNORMAL, UNDERFLOW, "7.5, a"),
            (MULTIPLY, (SMALLEST, HALF), PLUS_0, UNDERFLOW, "4.3.2 and 7.5"),
        ],
    ),
    (
        (EVEN, AWAY, ZERO),
        [
            (ADD, (PLUS_1, HALF_ULP_OF_1 - 1), PLUS_1, INEXACT, "4.3"),
            (ADD, (LARGEST, HALF_ULP_OF_LARGEST - 1), LARGEST, INEXACT, "4.3"),
        ],
    ),
    ((EVEN, AWAY, UP), [(ADD, (PLUS_1, HALF_ULP_OF_1 + 1), PLUS_1 + 1, INEXACT, "4.3")]),
    ((UP,), [(ADD, (LARGEST, HALF_ULP_OF_LARGEST - 1), PLUS_INFINITY, OVERFLOW, "4.3.2 and 7.4, d")]),
    ((EVEN, AWAY, DOWN), [(MULTIPLY, (MINUS_2, TWO_TO_127), MINUS_INFINITY, OVERFLOW, "7.4, a and c")]),
    ((UP, ZERO), [(MULTIPLY, (MINUS_2, TWO_TO_127), MOST_NEGATIVE, OVERFLOW, "7.4, b and d")]),
    (
        # Ties: 1 has an even significand, and so has zero.
        (EVEN,),
        [
            (ADD, (PLUS_1, HALF_ULP_OF_1), PLUS_1, INEXACT, "4.3.1"),
            (ADD, (MINUS_1, MINUS_HALF_ULP_OF_1), MINUS_1, INEXACT, "4.3.1"),
            (MULTIPLY, (SMALLEST, HALF), PLUS_0, UNDERFLOW, "4.3.1 and 7.5"),
            (MULTIPLY, (SMALLEST, MINUS_HALF), MINUS_0, UNDERFLOW, "4.3.1, 6.3 and 7.5"),
        ],
    ),
    (
        (AWAY, UP),
        [
            (ADD, (PLUS_1, HALF_ULP_OF_1), PLUS_1 + 1, INEXACT, "4.3"),
            (MULTIPLY, (SMALLEST, HALF), SMALLEST, UNDERFLOW, "4.3 and 7.5"),
        ],
    ),
    (
        (AWAY, DOWN),
        [
            (ADD, (MINUS_1, MINUS_HALF_ULP_OF_1), MINUS_1 + 1, INEXACT, "4.3"),
            (MULTIPLY, (SMALLEST, MINUS_HALF), MINUS_SMALLEST, UNDERFLOW, "4.3 and 7.5"),
        ],
    ),
    (
        (UP, ZERO),
        [
            (ADD, (MINUS_1, MINUS_HALF_ULP_OF_1), MINUS_1, INEXACT, "4.3.2"),
            (MULTIPLY, (SMALLEST, MINUS_HALF), MINUS_0, UNDERFLOW, "4.3.2, 6.3 and 7.5"),
        ],
    ),
    # The exact zero sum of operands with unlike signs.
    (
        (EVEN, AWAY, UP, ZERO),
        [
            (ADD, (PLUS_1, MINUS_1), PLUS_0, NONE, "6.3"),
            (ADD, (PLUS_0, MINUS_0), PLUS_0, NONE, "6.3"),
            (SUBTRACT, (PLUS_2, PLUS_2), PLUS_0, NONE, "6.3"),
            (SUBTRACT, (MINUS_0, MINUS_0), PLUS_0, NONE, "6.3"),
        ],
    ),
    (
        (DOWN,),
        [
            (ADD, (PLUS_1, MINUS_1), MINUS_0, NONE, "6.3"),
            (ADD, (PLUS_0, MINUS_0), MINUS_0, NONE, "6.3"),
            (SUBTRACT, (PLUS_2, PLUS_2), MINUS_0, NONE, "6.3"),
            (SUBTRACT, (MINUS_0, MINUS_0), MINUS_0, NONE, "6.3"),
        ],
    ),
]

_ZEROS_AND_INFINITIES: list[Row] = [
    (ADD, (PLUS_0, PLUS_0), PLUS_0, NONE, "6.3"),
    (ADD, (MINUS_0, MINUS_0), MINUS_0, NONE, "6.3"),
    (SUBTRACT, (PLUS_0, MINUS_0), PLUS_0, NONE, "6.3"),
    (SUBTRACT, (MINUS_0, PLUS_0), MINUS_0, NONE, "6.3"),
    (MULTIPLY, (PLUS_0, MINUS_1), MINUS_0, NONE, "6.3"),
    (MULTIPLY, (MINUS_0, MINUS_1), PLUS_0, NONE, "6.3"),
    (DIVIDE, (MINUS_0, PLUS_2), MINUS_0, NONE, "6.3"),
    (DIVIDE, (PLUS_2, MINUS_INFINITY), MINUS_0, NONE, "6.1 and 6.3"),
    (ROOT, (MINUS_0,), MINUS_0, NONE, "6.3"),
    (ROOT, (PLUS_0,), PLUS_0, NONE, "6.3"),
    (ADD, (PLUS_INFINITY, PLUS_1), PLUS_INFINITY, NONE, "6.1"),
    (ADD, (MOST_NEGATIVE, PLUS_INFINITY), PLUS_INFINITY, NONE, "6.1"),
    (ADD, (MINUS_INFINITY, MINUS_INFINITY), MINUS_INFINITY, NONE, "6.1"),
    (SUBTRACT, (PLUS_1, PLUS_INFINITY), MINUS_INFINITY, NONE, "6.1"),
    (MULTIPLY, (MINUS_INFINITY, PLUS_2), MINUS_INFINITY, NONE, "6.1"),
    (DIVIDE, (PLUS_INFINITY, MINUS_2), MINUS_INFINITY, NONE, "6.1"),
    (DIVIDE, (PLUS_INFINITY, MINUS_0), MINUS_INFINITY, NONE, "6.1 and 7.3"),
    (ROOT, (PLUS_INFINITY,), PLUS_INFINITY, NONE, "6.1"),
]

_EXCEPTIONS: list[Row] = [
    (ADD, (SIGNALLING_NAN, PLUS_1), CANONICAL_NAN, INVALID, "7.2, a"),
    (DIVIDE, (PAYLOAD_NAN, SIGNALLING_NAN), CANONICAL_NAN, INVALID, "7.2, a"),
    (ROOT, (SIGNALLING_NAN,), CANONICAL_NAN, INVALID, "7.2, a"),
    (MULTIPLY, (PLUS_0, MINUS_INFINITY), CANONICAL_NAN, INVALID, "7.2, b"),
    (MULTIPLY, (PLUS_INFINITY, PLUS_0), CANONICAL_NAN, INVALID, "7.2, b"),
    (ADD, (PLUS_INFINITY, MINUS_INFINITY), CANONICAL_NAN, INVALID, "7.2, d"),
    (SUBTRACT, (MINUS_INFINITY, MINUS_INFINITY), CANONICAL_NAN, INVALID, "7.2, d"),
    (DIVIDE, (PLUS_0, MINUS_0), CANONICAL_NAN, INVALID, "7.2, e"),
    (DIVIDE, (MINUS_INFINITY, PLUS_INFINITY), CANONICAL_NAN, INVALID, "7.2, e"),
    (ROOT, (MINUS_1,), CANONICAL_NAN, INVALID, "7.2, g"),
    (ROOT, (MINUS_SMALLEST,), CANONICAL_NAN, INVALID, "7.2, g"),
    (ROOT, (MINUS_INFINITY,), CANONICAL_NAN, INVALID, "7.2, g"),
    (DIVIDE, (PLUS_1, PLUS_0), PLUS_INFINITY, BY_ZERO, "7.3"),
    (DIVIDE, (MINUS_1, PLUS_0), MINUS_INFINITY, BY_ZERO, "7.3"),
    (DIVIDE, (SMALLEST, MINUS_0), MINUS_INFINITY, BY_ZERO, "7.3"),
    # Exact subnormal results raise nothing.
    (MULTIPLY, (SMALLEST_NORMAL, HALF), 0x0040_0000, NONE, "7.5"),
    (SUBTRACT, (SMALLEST_NORMAL + 1, SMALLEST_NORMAL), SMALLEST, NONE, "7.5"),
    # Quiet NaNs pass without an exception.
    (ADD, (PAYLOAD_NAN, PLUS_1), CANONICAL_NAN, NONE, "6.2"),
    (MULTIPLY, (PLUS_0, NEGATIVE_NAN), CANONICAL_NAN, NONE, "6.2"),
    (DIVIDE, (CANONICAL_NAN, PLUS_0), CANONICAL_NAN, NONE, "6.2"),
]

_ROOTS: list[Row] = [
    ("r_sqrt", (PLUS_0,), PLUS_INFINITY, BY_ZERO, "9.2.1"),
    ("r_sqrt", (MINUS_0,), MINUS_INFINITY, BY_ZERO, "9.2.1"),
    ("r_sqrt", (PLUS_INFINITY,), PLUS_0, NONE, "9.2.1"),
    ("r_sqrt", (MINUS_INFINITY,), CANONICAL_NAN, INVALID, "9.2, table 9.1"),
    ("r_sqrt", (MINUS_SMALLEST,), CANONICAL_NAN, INVALID, "9.2, table 9.1"),
    ("r_sqrt", (PAYLOAD_NAN,), CANONICAL_NAN, NONE, "6.2"),
    ("r_sqrt", (SIGNALLING_NAN,), CANONICAL_NAN, INVALID, "7.2, a"),
    ("hypot", (PLUS_0, PLUS_0), PLUS_0, NONE, "9.2.1"),
    ("hypot", (MINUS_0, PLUS_0), PLUS_0, NONE, "9.2.1"),
    ("hypot", (MINUS_0, MINUS_0), PLUS_0, NONE, "9.2.1"),
    ("hypot", (MINUS_INFINITY, PAYLOAD_NAN), PLUS_INFINITY, NONE, "9.2.1"),
    ("hypot", (NEGATIVE_NAN, PLUS_INFINITY), PLUS_INFINITY, NONE, "9.2.1"),
    ("hypot", (MINUS_INFINITY, MINUS_1), PLUS_INFINITY, NONE, "9.2.1"),
    ("hypot", (PLUS_INFINITY, SIGNALLING_NAN), CANONICAL_NAN, INVALID, "7.2, a"),
    ("hypot", (PLUS_0, PAYLOAD_NAN), CANONICAL_NAN, NONE, "6.2"),
]

_SIGNS_AND_CLASSES: list[Row] = [
    ("negate", (PLUS_0,), MINUS_0, NONE, "5.5.1"),
    ("negate", (SIGNALLING_NAN,), SIGNALLING_NAN | MINUS_0, NONE, "5.5.1"),
    ("absolute", (MINUS_SMALLEST,), SMALLEST, NONE, "5.5.1"),
    ("absolute", (NEGATIVE_NAN,), CANONICAL_NAN, NONE, "5.5.1"),
    ("is_sign_minus", (MINUS_0,), 1, NONE, "5.7.2"),
    ("is_sign_minus", (NEGATIVE_NAN,), 1, NONE, "5.7.2"),
    ("is_signaling", (SIGNALLING_NAN,), 1, NONE, "5.7.2"),
    ("is_signaling", (CANONICAL_NAN,), 0, NONE, "5.7.2"),
    ("is_nan", (SIGNALLING_NAN,), 1, NONE, "5.7.2"),
    ("is_nan", (PLUS_INFINITY,), 0, NONE, "5.7.2"),
    ("is_subnormal", (LARGEST_SUBNORMAL,), 1, NONE, "5.7.2"),
    ("is_subnormal", (PLUS_0,), 0, NONE, "5.7.2"),
    ("is_normal", (SMALLEST_NORMAL,), 1, NONE, "5.7.2"),
    ("is_normal", (PLUS_INFINITY,), 0, NONE, "5.7.2"),
    ("is_finite", (LARGEST,), 1, NONE, "5.7.2"),
    ("is_finite", (SIGNALLING_NAN,), 0, NONE, "5.7.2"),
    ("is_infinite", (MINUS_INFINITY,), 1, NONE, "5.7.2"),
    ("is_zero", (MINUS_0,), 1, NONE, "5.7.2"),
    ("maximum", (MINUS_0, PLUS_0), PLUS_0, NONE, "9.6"),
    ("minimum", (PLUS_0, MINUS_0), MINUS_0, NONE, "9.6"),
    ("maximum", (PLUS_1, MINUS_INFINITY), PLUS_1, NONE, "9.6"),
    ("minimum", (MINUS_1, MINUS_2), MINUS_2, NONE, "9.6"),
    ("maximum", (PAYLOAD_NAN, PLUS_INFINITY), CANONICAL_NAN, NONE, "9.6"),
    ("minimum", (PLUS_1, SIGNALLING_NAN), CANONICAL_NAN, INVALID, "9.6 and 7.2, a"),
]

_IN_ALL = (tuple(Rounding), [*_ZEROS_AND_INFINITIES, *_EXCEPTIONS, *_ROOTS, *_SIGNS_AND_CLASSES])

CASES = [
    case
    for directions, rows in [*_BY_DIRECTION, _IN_ALL]
    for operation, operands, result, flags, clause in rows
    for case in in_directions(
        directions, operation, binary32, operands, result, flags, f"IEEE 754-2019, {clause}"
    )
]
