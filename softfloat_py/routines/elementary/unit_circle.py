"""The point of the unit circle that has a given coordinate x, and the ratio of its coordinates.

The other coordinate is y = sqrt(1 - x^2). With |x| = m 2^-d, m a significand and d at least 1, 1 - x^2 is
found with W fraction bits, 2 p of them or more; so it is exact for d = 1, and where bits are cut off it is
above 3/4. It is above 2^-p, since |x| is at most 1 - 2^-p. Shifted left by an even number of places, it lies
in [1/4, 1), where `square_roots` wants it.

Lost are, relative to y: less than 2^-W for what is cut, or added where x^2 has no bits left; and
square_roots.ERROR of 2^(1 - r) for a root of r bits. The angle of a ratio q changes by q / (1 + q^2) times as
much, half of it at most. With r = F + 3, F being the fraction bits of angles, and W not less, that is half a
unit of the last of them; and a small ratio loses as little, relative to it.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary.fixed_point import at_most, at_top
from softfloat_py.routines.elementary.rotations import Ratio
from softfloat_py.routines.elementary.square_roots import square_root
from softfloat_py.routines.language import (
    Bits,
    constant,
    field,
    phase,
    resize,
    select,
    shift_left,
    subtract_modulo,
    with_point,
)
from softfloat_py.routines.leading_zeros import leading_zeros
from softfloat_py.routines.unpacking import Unpacked

SPARE = 3  # bits that the root has more than angles


class CirclePoint(NamedTuple):
    """The ratio of the smaller to the larger coordinate, and whether y is the larger one."""

    ratio: Ratio
    is_upper: Bits


def on_unit_circle(x: Unpacked, bits: int, fmt: BinaryFormat, options: Options) -> CirclePoint:
    """The point with a coordinate x of a magnitude below 1; significands get so many bits."""
    phase("under the root")
    below = subtract_modulo(fmt.bias, x.exponent, x.exponent.width)
    radicand = one_less_square(x.significand, below, max(2 * fmt.precision, bits))
    width = radicand.width
    halved = constant(0, below.width)
    if field(radicand, width - 2, 2) == 0:
        zeros = leading_zeros(radicand, options)
        halved = resize(zeros >> 1, below.width)
        radicand = shift_left(radicand, (zeros >> 1) << 1, width)
    root = with_point(square_root(radicand, bits, options), bits)
    root_below = resize(halved + 1, below.width)
    significand = at_top(x.significand, bits)
    phase("ratio")
    is_upper = (root_below < below) | (root_below == below) & (significand < root)
    smaller, larger = select(is_upper, significand, root), select(is_upper, root, significand)
    distance = subtract_modulo(below, root_below, below.width)
    distance = select(is_upper, distance, subtract_modulo(0, distance, below.width))
    return CirclePoint(Ratio(smaller, larger, distance), is_upper)


def one_less_square(significand: Bits, below: Bits, width: int) -> Bits:
    """1 - (m 2^-d)^2 as a fraction of so many bits."""
    square = at_top(significand * significand, width)
    distance = at_most(subtract_modulo(below, 1, below.width), (width - 2) // 2)
    return with_point(resize(constant(1 << width, width + 1) - (square >> (distance << 1)), width), width)
