"""Square roots of primes, whose binary digits a standard of another trade prints.

FIPS 180-4, Secure Hash Standard, 5.3.4 and 5.3.5: the initial hash values are the first 64 bits of the
fractional parts of the square roots of the ninth to sixteenth and of the first eight primes (digits from
memory, checked against MPFR). A root of a prime never ends, so its digits below the 64th are not all zero
and every rounding of it follows from those printed.
"""

from __future__ import annotations

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from tests.published.case import INEXACT, Case

PRINTED_BITS = 64

FRACTIONS_OF_ROOTS = {
    2: 0x6A09E667F3BCC908,
    3: 0xBB67AE8584CAA73B,
    5: 0x3C6EF372FE94F82B,
    7: 0xA54FF53A5F1D36F1,
    11: 0x510E527FADE682D1,
    13: 0x9B05688C2B3E6C1F,
    17: 0x1F83D9ABFB41BD6B,
    19: 0x5BE0CD19137E2179,
    23: 0xCBBB9D5DC1059ED8,
    29: 0x629A292A367CD507,
    31: 0x9159015A3070DD17,
    37: 0x152FECD8F70E5939,
    41: 0x67332667FFC00B31,
    43: 0x8EB44A8768581511,
    47: 0xDB0C2E0D64F98FA7,
    53: 0x47B5481DBEFA4FA4,
}

# Whole parts of the same roots.
WHOLE_PARTS = {2: 1, 3: 1, 5: 2, 7: 2, 11: 3, 13: 3, 17: 4, 19: 4}
WHOLE_PARTS |= {23: 4, 29: 5, 31: 5, 37: 6, 41: 6, 43: 6, 47: 6, 53: 7}


def encoding_of_whole_number(fmt: Format, value: int) -> int:
    """Encoding of a small whole number above zero."""
    exponent = value.bit_length() - 1
    return ((fmt.bias + exponent - 1) << fmt.trailing_bits) + (value << (fmt.trailing_bits - exponent))


# The primes that are the sum of two squares have their root as a hypotenuse.
LEGS = {2: (1, 1), 5: (1, 2), 13: (2, 3), 17: (1, 4), 29: (2, 5), 37: (1, 6), 41: (4, 5), 53: (2, 7)}


def _cases(fmt: Format, prime: int) -> list[Case]:
    digits = (WHOLE_PARTS[prime] << PRINTED_BITS) + FRACTIONS_OF_ROOTS[prime]
    dropped = digits.bit_length() - fmt.precision
    significand, first_dropped_bit = digits >> dropped, digits >> (dropped - 1) & 1
    exponent = WHOLE_PARTS[prime].bit_length() - 1
    truncated = ((fmt.bias + exponent - 1) << fmt.trailing_bits) + significand
    nearest = truncated + first_dropped_bit
    results = {
        Rounding.TIES_TO_EVEN: nearest,
        Rounding.TIES_TO_AWAY: nearest,
        Rounding.TOWARD_POSITIVE: truncated + 1,
        Rounding.TOWARD_NEGATIVE: truncated,
        Rounding.TOWARD_ZERO: truncated,
    }
    return [
        Case(operation, fmt, rounding, operands, result, INEXACT, f"FIPS 180-4, root of {prime}")
        for rounding, result in results.items()
        for operation, operands in _ways_to_root(fmt, prime)
    ]


def _ways_to_root(fmt: Format, prime: int) -> list[tuple[str, tuple[int, ...]]]:
    """Operations, with their operands, that deliver the root of a prime."""
    ways: list[tuple[str, tuple[int, ...]]] = [("square_root", (encoding_of_whole_number(fmt, prime),))]
    if prime in LEGS:
        ways.append(("hypot", tuple(encoding_of_whole_number(fmt, leg) for leg in LEGS[prime])))
    if prime == 2:
        half = encoding_of_whole_number(fmt, 1) - fmt.leading_one
        ways.append(("r_sqrt", (half,)))
    return ways


CASES = [
    case
    for fmt in (binary16, bfloat16, binary32, binary64)
    for prime in FRACTIONS_OF_ROOTS
    for case in _cases(fmt, prime)
]
