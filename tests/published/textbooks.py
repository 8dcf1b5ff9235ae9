"""Worked examples of textbooks and tutorials, ties to even unless the source says otherwise.

All are quoted from memory. Encodings were worked by hand from the binary numbers the sources print.
"""

from __future__ import annotations

from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64
from tests.published.case import EVEN, INEXACT, NONE, Case

ORGANIZATION = "D. Patterson and J. Hennessy, Computer Organization and Design, floating-point section"
MOLER = "C. Moler, Numerical Computing with MATLAB, 2004, section 1.7"
GOLDBERG = "D. Goldberg, What Every Computer Scientist Should Know About Floating-Point Arithmetic, 1991"
TUTORIAL = "The Python Tutorial, Floating-Point Arithmetic: Issues and Limitations"
ARTICLES = "Wikipedia, articles on the half, single, double and bfloat16 formats, precision examples"
STERBENZ = "P. Sterbenz, Floating-Point Computation, 1974: x - y is exact where y/2 <= x <= 2y"

HANDBOOK = "M. Abramowitz and I. Stegun, Handbook of Mathematical Functions, 1964, table 1.1"
EUCLID = "Euclid, Elements, X, lemma 1 to proposition 29: m² - n², 2 m n, m² + n²; numbers chosen here"

# The book fixes four bits of precision; an exponent of four bits holds its numbers.
four_digits = Format("four_digits", exponent_bits=4, precision=4)

# Binary64: 0.1 + 0.1 + 0.1 and 0.3 itself; 0.1 and 1 - 2**-52.
FALSE_3_10THS, TRUE_3_10THS = 0x3FD3333333333334, 0x3FD3333333333333
TENTH, BELOW_1 = 0x3FB999999999999A, 0x3FEFFFFFFFFFFFFE

CASES = [
    # 0.5 + (-0.4375) = 0.0625 and 0.5 * (-0.4375) = -0.21875, with four bits of precision and in binary32.
    Case("addition", four_digits, EVEN, (0b0_0110_000, 0b1_0101_110), 0b0_0011_000, NONE, ORGANIZATION),
    Case("multiplication", four_digits, EVEN, (0b0_0110_000, 0b1_0101_110), 0b1_0100_110, NONE, ORGANIZATION),
    Case("addition", binary32, EVEN, (0x3F000000, 0xBEE00000), 0x3D800000, NONE, ORGANIZATION),
    Case("multiplication", binary32, EVEN, (0x3F000000, 0xBEE00000), 0xBE600000, NONE, ORGANIZATION),
    # -0.75 = -3 / 4 has the fraction 1000...0 and the exponent field 126 (1022 in binary64).
    Case("division", binary32, EVEN, (0xC0400000, 0x40800000), 0xBF400000, NONE, ORGANIZATION),
    Case("division", binary64, EVEN, (0xC008 << 48, 0x4010 << 48), 0xBFE8 << 48, NONE, ORGANIZATION),
    # 1 / 10 = 1.10011001100110011001101 * 2**-4 in 24 bits.
    Case("division", binary32, EVEN, (0x3F800000, 0x41200000), 0x3DCCCCCD, INEXACT, GOLDBERG),
    # 1 - 3 * (4/3 - 1) is not 0 but 2**-52, and only the division rounds.
    Case("division", binary64, EVEN, (0x4010 << 48, 0x4008 << 48), 0x3FF5555555555555, INEXACT, MOLER),
    Case("subtraction", binary64, EVEN, (0x3FF5555555555555, 0x3FF0 << 48), 0x3FD5555555555554, NONE, MOLER),
    Case("multiplication", binary64, EVEN, (0x4008 << 48, 0x3FD5555555555554), BELOW_1, NONE, MOLER),
    Case("subtraction", binary64, EVEN, (0x3FF0 << 48, BELOW_1), 0x3CB0 << 48, NONE, MOLER),
    # 0.1 is 3602879701896397 / 2**55; 0.1 + 0.1 is exact, and 0.1 + 0.1 + 0.1 is not 0.3.
    Case("division", binary64, EVEN, (0x3FF0 << 48, 0x4024 << 48), TENTH, INEXACT, TUTORIAL),
    Case("addition", binary64, EVEN, (TENTH, TENTH), 0x3FC999999999999A, NONE, TUTORIAL),
    Case("addition", binary64, EVEN, (0x3FC999999999999A, TENTH), FALSE_3_10THS, INEXACT, TUTORIAL),
    Case("compare_quiet_equal", binary64, EVEN, (FALSE_3_10THS, TRUE_3_10THS), 0, NONE, TUTORIAL),
    # 1 / 3, which rounds down in binary16 and binary64, up in binary32 and bfloat16.
    Case("division", binary16, EVEN, (0x3C00, 0x4200), 0x3555, INEXACT, ARTICLES),
    Case("division", bfloat16, EVEN, (0x3F80, 0x4040), 0x3EAB, INEXACT, ARTICLES),
    Case("division", binary32, EVEN, (0x3F800000, 0x40400000), 0x3EAAAAAB, INEXACT, ARTICLES),
    Case("division", binary64, EVEN, (0x3FF0 << 48, 0x4008 << 48), 0x3FD5555555555555, INEXACT, ARTICLES),
    # 1 + 2**-10 is the next binary16 number above 1, and 65504 = 2048 * 32 - 32 the largest.
    Case("addition", binary16, EVEN, (0x3C00, 0x1400), 0x3C01, NONE, ARTICLES),
    Case("subtraction", binary16, EVEN, (0x7BFF, 0x5000), 0x7BFE, NONE, ARTICLES),
    # Operands within a factor of two, numbers chosen here: neighbours of 1, and a subnormal result.
    Case("subtraction", binary32, EVEN, (0x3F800001, 0x3F7FFFFF), 0x34400000, NONE, STERBENZ),
    Case("subtraction", binary32, EVEN, (0x00FFFFFF, 0x00800001), 0x007FFFFE, NONE, STERBENZ),
    Case("subtraction", binary16, EVEN, (0x3C00, 0x3FFF), 0xBBFE, NONE, STERBENZ),
    # 2 ** -1/2 = .70710 67811 86547 52440, 3 ** -1/2 = .57735 02691 89625 76451,
    # 10 ** -1/2 = .31622 77660 16837 93320.
    Case("r_sqrt", binary32, EVEN, (0x40000000,), 0x3F3504F3, INEXACT, HANDBOOK),
    Case("r_sqrt", binary32, EVEN, (0x40400000,), 0x3F13CD3A, INEXACT, HANDBOOK),
    Case("r_sqrt", binary32, EVEN, (0x41200000,), 0x3EA1E89B, INEXACT, HANDBOOK),
    Case("r_sqrt", binary64, EVEN, (0x4000 << 48,), 0x3FE6A09E667F3BCD, INEXACT, HANDBOOK),
    Case("r_sqrt", binary64, EVEN, (0x4008 << 48,), 0x3FE279A74590331C, INEXACT, HANDBOOK),
    Case("r_sqrt", binary64, EVEN, (0x4024 << 48,), 0x3FD43D136248490F, INEXACT, HANDBOOK),
    # 3, 4 and 5; 4095, 128 and 4097; and 3, 4 and 5 times 2 ** 125, whose squares binary32 does not have.
    Case("hypot", binary16, EVEN, (0x4200, 0x4400), 0x4500, NONE, EUCLID),
    Case("hypot", binary32, EVEN, (0x457FF000, 0xC3000000), 0x45800800, NONE, EUCLID),
    Case("hypot", binary32, EVEN, (0x7EC00000, 0xFF000000), 0x7F200000, NONE, EUCLID),
]  # fmt: skip
