"""Bringing the leading one of a significand on top of its bits, the exponent following: once for all sums.

An unsigned exponent ends at the lowest one there is: nothing is shifted further up than it allows, and what
is left without a leading one then is subnormal. A two's complement one (`signed`) falls below that, and
rounding or packing deals with it.
"""

from __future__ import annotations

from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    add_modulo,
    field,
    phase,
    resize,
    select,
    shift_left,
    subtract_modulo,
)
from softfloat_py.routines.leading_zeros import leading_zeros


def with_carry_within(significand: Bits, exponent_less_one: Bits, signed: bool) -> tuple[Bits, Bits]:
    """A sum whose top bit is its carry, in one bit less, and its exponent.

    With a carry it is halved. Its two lowest bits are merged then, as the lowest may be a sticky bit.
    """
    phase("normalise")
    width = significand.width - 1
    if field(significand, width, 1):
        significand = (significand >> 1) | field(significand, 0, 1)
        if signed:
            exponent_less_one = add_modulo(exponent_less_one, 1, exponent_less_one.width)
        else:
            exponent_less_one = resize(exponent_less_one + 1, exponent_less_one.width)
    else:
        significand = resize(significand, width)
    return significand, exponent_less_one


def with_leading_one(
    significand: Bits, exponent_less_one: Bits, options: Options, signed: bool
) -> tuple[Bits, Bits]:
    """A significand that is not zero, shifted left until its leading one is on top, and its exponent."""
    phase("normalise")
    places = leading_zeros(significand, options)
    if not signed:
        places = resize(select(places < exponent_less_one, places, exponent_less_one), places.width)
    significand = shift_left(significand, places, significand.width)
    if signed:
        exponent_less_one = subtract_modulo(exponent_less_one, places, exponent_less_one.width)
    else:
        exponent_less_one = resize(exponent_less_one - places, exponent_less_one.width)
    return significand, exponent_less_one
