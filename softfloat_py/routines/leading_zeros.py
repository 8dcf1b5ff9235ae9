"""Counting leading zeros: as one step, or by a binary search where a CPU has no instruction for it.

The search narrows down where the highest set bit is. Invariant: the zeros of the operand are `zeros` less
the bit length of what is left of it, and what is left fits `half` bits after the round that halves by them.
Half is a power of two, so that in words the first rounds choose between whole words. One bit is left at
last, and it is its own bit length: zero needs no case of its own. Common practice, no source.
"""

from __future__ import annotations

from softfloat_py.options import LeadingZeros, Options
from softfloat_py.routines.language import Bits, constant, count_leading_zeros, resize, unrolled


def leading_zeros(x: Bits, options: Options) -> Bits:
    """Zero bits above the highest set bit of x, 0 to its width, in as many bits as hold that width."""
    if options.leading_zeros is LeadingZeros.STEP:
        return count_leading_zeros(x)
    return zeros_by_halving(x)


def zeros_by_halving(x: Bits) -> Bits:
    """Zero bits above the highest set bit of x, in as many rounds as it takes to halve its width to 1."""
    zeros = constant(x.width, x.width.bit_length())
    rounds = (x.width - 1).bit_length()
    for done in unrolled(rounds):
        half = 1 << (rounds - 1 - done)
        upper = x >> half
        if upper != 0:
            zeros = zeros - half
            x = resize(upper, half)
        else:
            x = resize(x, half)
    return zeros - x
