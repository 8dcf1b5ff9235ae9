"""The cube root of a significand: half of its digits one by one, the others by a division.

x = m 2^(3 q + e), e from 0 to 2, so the root is that of m 2^e times 2^q. Let X be that radicand with its
point behind the 3 (p + 1)-th bit: its root Y has p + 1 bits before the point, so a whole number Z is a number
of the format or the middle between two.

1. The first k digits of Y, as in a square root by hand, with three bits of X a round. Let r be the digits so
   far and R what remains, X' - r^3 for the bits X' taken. With three more, t, 8 R + t remains of 2 r, and (2
   r + 1)^3 - (2 r)^3 = 12 r^2 + 6 r + 1: the digit is one if that is not more than what remains, which then
   loses it. 3 r^2 is kept beside r; of 2 r it is 12 r^2, and of 2 r + 1, 12 r^2 + 12 r + 3. r is below 2^k,
   and 3 r^2 and R, which is at most 3 r^2 + 3 r, take 2 k + 2 bits: rounds are narrow at first. k is such
   that no set bit of X is left.
2. r + d is Y with its point moved, d below 1, where R = 3 r^2 d + 3 r d^2 + d^3. The quotient R / 3 r^2 is d,
   and (d^2 + d^3 / 3 r) / r too large, which is hardly more than 2^-(k - 1). It is found with f <= k - 1
   digits after the point: the estimate is too large by less than 1 1/5 units of its last place. Dividend and
   divisor are cut to f + 6 bits, the latter rounded up: as it has f + 4 bits at least, the quotient loses
   less than 1/4 unit by that, and less than one as it is rounded down. So it is too small by less than 1 1/4.
3. f is such that k + f = p + 1 + GUARD. If there is no multiple of 2^GUARD units from one unit below the
   estimate to one above it, Y lies between the same two whole numbers as the estimate, and is none.
4. If there is, let Z be that whole number. Y differs from it by less than 9/4 / 2^GUARD, so X - Z^3 is less
   than 2^(2 p + 1) in magnitude, and its last 2 p + 2 bits have its sign. It is zero where Z is the root; no
   such Z is the middle between two numbers, whose last bit is set, and whose cube has more than p bits then.

Source of the method for the first digits: common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary.quotients import quotient_by_digits
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    concatenate,
    constant,
    field,
    phase,
    resize,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.unpacking import Unpacked

GUARD = 4
DIVIDED = 6  # bits more than the digits of the quotient that what is divided has


class Partial(NamedTuple):
    """The first digits of a root, three times their square, and what remains of the radicand."""

    root: Bits
    thrice_square: Bits
    remainder: Bits


def cube_root_of(x: Unpacked, fmt: BinaryFormat, options: Options) -> tuple[Bits, Bits]:
    """The exponent, less one, and p + 1 bits and a sticky bit of the cube root of a positive number with a
    leading one.

    The exponent is made positive, and a multiple of three more than it is without its bias, and divided by
    three: less its last s bits, k times 2^s / 3 rounded up is k / 3 rounded down, for k < 2^(s - 1).
    """
    phase("normalise")
    width = x.exponent.width
    lift = -(-(fmt.precision + fmt.bias) // 3) * 3
    exponent = add_modulo(x.exponent, lift - fmt.bias, width)
    places = width + 2
    third = resize((exponent * (-(-(1 << places) // 3))) >> places, width)
    rest = subtract_modulo(exponent, third + (third << 1), 2)
    exponent_less_one = add_modulo(third, (fmt.bias - 1 - lift // 3) % (1 << width), width)
    return exponent_less_one, cube_root(shift_left(x.significand, rest, fmt.precision + 2), fmt, options)


def cube_root(radicand: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """p + 1 bits and a sticky bit of the cube root of a radicand of p + 2 bits, from 2^(p - 1) on."""
    bits = fmt.precision + 1 + GUARD
    digits = bits // 2 + 1
    found = first_digits(radicand, digits)
    phase("quotient")
    places = bits - digits
    cut = max(2 * digits + 2 - places - DIVIDED, 0)
    divisor = resize((found.thrice_square >> cut) + 1, found.thrice_square.width - cut)
    rest = quotient_by_digits(found.remainder >> cut, divisor, places, options)
    estimate = resize((found.root << places) + rest, bits)
    above = resize(estimate + 1, bits)
    if field(above, 0, GUARD) <= 2:
        phase("decide")
        significand = beside_boundary(above >> GUARD, radicand, fmt)
    else:
        significand = ((estimate >> GUARD) << 1) | 1
    return significand


def first_digits(radicand: Bits, digits: int) -> Partial:
    """The first digits of the root; the first one is one."""
    phase("extract root")
    triples = -(-radicand.width // 3)
    radicand = radicand << (3 * triples - radicand.width)
    left = radicand.width - 3
    found = Partial(constant(1, 1), constant(3, 2), resize((radicand >> left) - 1, 3))
    found = widened(found, triples)
    radicand = field(radicand, 0, left)
    for _ in range(triples - 1):
        found = with_next_digit(found, radicand >> (left - 3))
        radicand = field(radicand << 3, 0, left)
    found = widened(found, digits)
    for _ in range(digits - triples):
        found = with_next_digit(found, constant(0, 3))
    return found


def widened(found: Partial, digits: int) -> Partial:
    """First digits with room for so many."""
    bits = 2 * digits + 2
    return Partial(
        resize(found.root, digits), resize(found.thrice_square, bits), resize(found.remainder, bits)
    )


def with_next_digit(found: Partial, triple: Bits) -> Partial:
    """First digits and one more, for which there is room, from three bits of the radicand."""
    root = resize(found.root << 1, found.root.width)
    six_roots = root + (root << 1)
    thrice_square = resize(found.thrice_square << 2, found.thrice_square.width)
    remainder = concatenate(found.remainder, triple)
    loss = (thrice_square + six_roots) | 1
    if remainder >= loss:
        remainder = remainder - loss
        thrice_square = resize(loss + six_roots + 2, found.thrice_square.width)
        root = root | 1
    return Partial(root, thrice_square, resize(remainder, found.remainder.width))


def beside_boundary(whole: Bits, radicand: Bits, fmt: BinaryFormat) -> Bits:
    """The whole number next to the root, or what lies below it, and a sticky bit."""
    bits = 2 * fmt.precision + 2
    cube = field(whole * whole * whole, 0, bits)
    beyond = subtract_modulo(field(radicand, 0, 1) << (bits - 1), cube, bits)
    doubled = whole << 1
    if field(beyond, bits - 1, 1):
        return doubled - 1
    return doubled | (beyond != 0)
