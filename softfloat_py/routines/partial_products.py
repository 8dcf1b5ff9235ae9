"""The product of two significands: as one step, or by partial products of halves.

With h bits in a lower half, x = X 2^h + x and y = Y 2^h + y, so

    x y = X Y 2^2h + (X y + x Y) 2^h + x y

with X, Y the upper and x, y the lower halves: four products of half the width, as in multiplication by hand.
The first and the last stand side by side without touching, since the last is less than 2^2h. Nothing is
rounded, so the bits are those of the one product.

Three products are enough where the sum of the two in the middle is found as (X + x)(Y + y) - X Y - x y. They
cost an addition more, two subtractions and factors of h + 1 bits, which no longer fit a multiplier made for
halves; with a single product to be saved, that is no gain at these widths, so it is not offered. Common
practice, no source.
"""

from __future__ import annotations

from softfloat_py.options import Options, Product
from softfloat_py.routines.language import Bits, field, resize


def product(x: Bits, y: Bits, options: Options) -> Bits:
    """x × y, as wide as both together."""
    if options.product is Product.NATIVE:
        return x * y
    return product_of_halves(x, y)


def product_of_halves(x: Bits, y: Bits) -> Bits:
    """x × y by four products of halves; the lower half of an odd width is the longer one."""
    half = (max(x.width, y.width) + 1) // 2
    x_high, x_low = x >> half, field(x, 0, half)
    y_high, y_low = y >> half, field(y, 0, half)
    high, low = x_high * y_high, x_low * y_low
    middle = x_high * y_low + x_low * y_high
    outer = high << (2 * half) | low
    return resize(outer + (middle << half), x.width + y.width)
