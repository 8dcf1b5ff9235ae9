"""The square root of a fixed-point number: half of its bits first, the rest from what remains.

X lies in [1/4, 1), its root s in [1/2, 1). First a root r of h bits is found, which is s less a d that is not
negative. What remains of X is X - r^2 = 2 r d + d^2.

Digit by digit, r is the root of the first h bits of X, rounded down: bits that X lacks take less than 2^-h
from it, and so do those that the root lacks, so d < 2 2^-h. The remainder divided by 2 r, which is d and d^2
/ (2 r), is found as a quotient below 2 and added to r. With 2 h >= bits + 3 the result is, in units of the
last of `bits` bits,

- too large by d^2 / (2 r) < 4 2^-2h, which is half a unit at most;
- too small by less than 1/8 for what is left out of X behind 2 h bits, 1/2 for the two last bits of what
  remains, and ERROR units of the quotient: the remainder is divided by 2 r >= 1.

By a reciprocal root q, which is less than 1 / s by (1 / s + 1) 2^-h at most (`reciprocal_roots`): r is X q to
h bits. It lacks less than s + X, so 2 of 2^-h for what q lacks, 1 for what is cut off it, and 1/2 for X,
which is cut to h + 2 bits: d < 7/2 2^-h. Half of the remainder times q is added to r. In the same units, with
2 h >= bits + 4, the result is never too large, and too small by

- d^2 / (2 s) < 49/4 2^-2h, and d (s + 1) 2^-h < 7 2^-2h for what q lacks, together less than 5/4;
- less than 1/16 for what is left out of X, and 1 for what is cut off the product.

Source: digit-by-digit roots, Heron's rule and Newton's method are common practice, no source.
"""

from __future__ import annotations

from softfloat_py.options import Options, SquareRoot
from softfloat_py.routines.elementary import quotients
from softfloat_py.routines.elementary.fixed_point import at_top
from softfloat_py.routines.elementary.quotients import quotient
from softfloat_py.routines.elementary.reciprocal_roots import reciprocal_root
from softfloat_py.routines.language import Bits, constant, phase, resize

ERROR = quotients.ERROR + 1


def square_root(radicand: Bits, bits: int, options: Options) -> Bits:
    """The root of a number with its point on the left and one of its first two bits set: `bits` bits behind
    the point, 10 or more, off by less than ERROR units of the last of them.
    """
    if options.square_root is SquareRoot.RECIPROCAL:
        return root_by_reciprocal(radicand, bits, options)
    half = (bits + 4) // 2
    root = root_by_digits(at_top(radicand, half))
    remainder = resize(at_top(radicand, 2 * half) - root * root, half + 2)
    correction = quotient(remainder >> 2, root, bits - half + 1, options)
    return resize((root << (bits - half)) + correction, bits)


def root_by_reciprocal(radicand: Bits, bits: int, options: Options) -> Bits:
    """The root by a reciprocal one, and what remains by the same."""
    half = (bits + 5) // 2
    x = at_top(radicand, 2 * half)
    inverse = reciprocal_root(x, half, options)
    phase("extract root")
    root = resize(((x >> (half - 2)) * inverse) >> (half + 2), half)
    remainder = resize(x - root * root, half + 3)
    correction = (remainder * inverse) >> (3 * half + 1 - bits)
    return resize((root << (bits - half)) + correction, bits)


def root_by_digits(radicand: Bits) -> Bits:
    """As many bits of the root as the radicand has, rounded down.

    With 4 X = x, let q be the root so far, its last digit worth 2^-k, and remainder = 2^k (x - q^2). A
    further digit is one if 2 remainder >= 2 q + 2^-(k + 1), which is then what the remainder loses. The first
    digit is one because x is at least 1; that of 2 q is kept. (`routines.square_root` says it at length.)
    """
    phase("extract root")
    behind = radicand.width - 1
    remainder = resize((radicand << 1) - (1 << behind), behind + 2)
    twice_root = constant(2 << behind, behind + 2)
    digit = constant(1 << (behind - 1), behind)
    for _ in range(behind):
        doubled = remainder << 1
        trial = twice_root | digit
        if doubled >= trial:
            doubled = doubled - trial
            twice_root = resize(trial + digit, behind + 2)
        remainder = resize(doubled, behind + 2)
        digit = resize(digit >> 1, behind)
    return twice_root >> 1
