"""The square root of a fixed-point number: half of its bits digit by digit, the rest by a division.

X lies in [1/4, 1), its root s in [1/2, 1). With r the root of the first h bits of X, to h bits, let d = s -
r: it is not negative, and less than 2^(1 - h), for bits that X lacks take less than 2^-h from the root, and
so do those that the root lacks. What remains, X - r^2 = 2 r d + d^2, divided by 2 r is d and d^2 / (2 r).
That is less than 2^(1 - h) and a little, so it is found as a quotient below 2, and added to r. In units of
the last of `bits` bits, with 2 h >= bits + 3, the result is

- too large by d^2 / (2 r) < 4 2^-2h, which is half a unit at most;
- too small by less than 1/8 for what is left out of X behind 2 h bits, 1/2 for the two last bits of what
  remains, and ERROR units of the quotient: the remainder is divided by 2 r >= 1.

Source: digit-by-digit roots and Heron's rule are common practice, no source.
"""

from __future__ import annotations

from softfloat_py.options import Options
from softfloat_py.routines.elementary import quotients
from softfloat_py.routines.elementary.quotients import quotient
from softfloat_py.routines.language import Bits, constant, phase, resize

ERROR = quotients.ERROR + 1


def square_root(radicand: Bits, bits: int, options: Options) -> Bits:
    """The root of a number with its point on the left and one of its first two bits set: `bits` bits behind
    the point, 10 or more, off by less than ERROR units of the last of them.
    """
    half = (bits + 4) // 2
    root = root_by_digits(in_width(radicand, half))
    remainder = resize(in_width(radicand, 2 * half) - root * root, half + 2)
    correction = quotient(remainder >> 2, root, bits - half + 1, options)
    return resize((root << (bits - half)) + correction, bits)


def in_width(x: Bits, width: int) -> Bits:
    """The first bits of a fraction."""
    return x << (width - x.width) if width >= x.width else x >> (x.width - width)


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
