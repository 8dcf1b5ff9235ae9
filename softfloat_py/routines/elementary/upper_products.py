"""The upper part of a product, for which its lower part need not be found.

One factor is cut into digits, and each is multiplied by as much of the other as counts: for digits further
down that is less and less, so half of the product is left out. Many CPUs take that much less time; those with
a long product take a little more.

Of each digit's product less than a unit of the result is cut off, and less than a fourth of one for the bits
of the other factor that are left out.

Source: leaving out what does not count is common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

from softfloat_py.routines.elementary.fixed_point import moved
from softfloat_py.routines.language import Bits, field, resize, unrolled

DIGIT_BITS = 16
SPARE = 2  # bits of the other factor beyond those that count


def most_lost(width: int) -> Fraction:
    """What the result is too small by at the most, in units of its last place, for a factor so wide."""
    return -(-width // DIGIT_BITS) * (1 + Fraction(1, 1 << SPARE))


def upper_product(x: Bits, y: Bits, places: int, width: int) -> Bits:
    """x y 2^-places, in a width that holds it; y is the factor that is cut, and x must have more than
    places - DIGIT_BITS bits.
    """
    for number in unrolled(-(-y.width // DIGIT_BITS)):
        above = y.width - number * DIGIT_BITS
        place = max(above - DIGIT_BITS, 0)
        digit = field(y, place, above - place)
        left_out = max(places - above - SPARE, 0)
        term = resize(moved((x >> left_out) * digit, place + left_out - places), width)
        if number == 0:
            total = term
        else:
            total = resize(total + term, width)
    return total
