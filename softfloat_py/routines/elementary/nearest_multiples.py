"""How near a number of a format can come to a multiple of a right angle, computed exactly.

A number is m 2^e with m < 2^p. In right angles it is m a, a = 2^e 2/pi, and what it has beyond a multiple is
how far m a is from a whole number. Of all m < M, that one is nearest which is the denominator of a convergent
of the continued fraction of a, the last below M. a is taken modulo 1 and with so many bits that m times what
is cut off is next to nothing, and this is subtracted.

BLOCK exponents are looked at together: m 2^k, k < BLOCK, with the lowest of them. That admits numbers which
the format does not have, so the bound is a few bits too careful, and found sooner.

Source: that convergents are the best approximations is from memory, a classical theorem of Lagrange's.
"""

from __future__ import annotations

from functools import cache

from softfloat_py.formats import BinaryFormat
from softfloat_py.routines.elementary.power_series import two_over_pi

BLOCK = 8


@cache
def zeros_of_nearest(fmt: BinaryFormat) -> int:
    """The least n such that no number of the format of a magnitude of 1/2 and more is nearer than 2^-n right
    angles to a multiple of one.
    """
    lowest, highest = -1 - fmt.trailing_bits, fmt.emax - fmt.trailing_bits
    bits = 2 * (fmt.precision + BLOCK) + 64
    most = 1 << (fmt.precision + BLOCK - 1)
    factor = two_over_pi(bits + highest)
    nearest = 1 << bits
    for exponent in range(lowest, highest + 1, BLOCK):
        fraction = (factor >> (highest - exponent)) & ((1 << bits) - 1)
        nearest = min(nearest, least_distance(fraction, 1 << bits, most))
    return bits - (nearest - most).bit_length() + 1


def least_distance(step: int, circle: int, most: int) -> int:
    """How near to where one began one comes, going on by a step on a circle again and again: once at least,
    and fewer than `most` times.
    """
    before, distance = circle, step
    earlier, times = 0, 1
    while distance:
        quotient, rest = divmod(before, distance)
        if earlier + quotient * times >= most:
            break
        before, distance = distance, rest
        earlier, times = times, earlier + quotient * times
    return distance
