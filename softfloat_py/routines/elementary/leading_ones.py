"""A significand from a fixed-point number whose leading one is at one of a few places."""

from __future__ import annotations

from softfloat_py.routines.language import Bits, add_modulo, field, resize, unrolled


def with_leading_one_among(value: Bits, places: int, exponent_less_one: Bits) -> tuple[Bits, Bits]:
    """A number whose leading one is on top or at most `places` bits below, shifted right until it is where
    it is in the least of these numbers, in as many bits less; and its exponent, which comes as that of the
    least of them.
    """
    for _ in unrolled(places):
        if field(value, value.width - 1, 1):
            value = resize(value >> 1, value.width - 1)
            exponent_less_one = add_modulo(exponent_less_one, 1, exponent_less_one.width)
        else:
            value = resize(value, value.width - 1)
    return value, exponent_less_one
