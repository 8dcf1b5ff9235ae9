"""Arguments of trigonometric functions in right angles: a quadrant, and a fraction of it.

x = m 2^e with m < 2^p becomes x 2/pi modulo 4, with two bits before the point and `fraction_bits` after it.

Where x < 2^reach, 2/pi is a constant of `reach` bits more. It is off by half a unit of its last place, which
makes half of one of the fraction's at most, and what is cut off the product is less than one.

Elsewhere bits of 2/pi that make multiples of 4 with 2^e count for nothing, and those far below do not matter.
What is between is a *window*, whose place follows from e. 2/pi lies in memory in *chunks* of bits and a
window begins with one, so m is shifted up by what e is above a multiple of a chunk. It is less than 2^(p +
chunk - 1) then; what lies below the window is less than a unit of its last place. With so many bits more than
the fraction less than a unit of the fraction's last place is lost by that, and one for what is cut off the
product.

So the fraction is less than two units too small, and not half a unit too large. The chunks are no option:
without them there are no large angles.

Source: that bits of 2/pi follow from the exponent is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from softfloat_py.formats import BinaryFormat
from softfloat_py.routines.elementary.power_series import two_over_pi
from softfloat_py.routines.language import (
    Bits,
    concatenate,
    field,
    look_up,
    phase,
    resize,
    shift_left,
    subtract_modulo,
    unrolled,
    with_point,
)
from softfloat_py.routines.tables import Table
from softfloat_py.routines.unpacking import Unpacked

REACH = 8
SMALL_RANGE = 16  # a constant is enough for formats that reach no further
SHORT_EXPONENT = 8  # the significands of formats with such exponents stay short with a byte's places


@dataclass(frozen=True, slots=True)
class Windows:
    """2/pi in chunks, for biased exponents from `lowest` on; `count` chunks are a window."""

    chunks: Table
    chunk: int
    count: int
    lowest: int


@dataclass(frozen=True, slots=True)
class Reduction:
    """How arguments with biased exponents from `lowest` on are brought to right angles.

    Below 2^reach by the constant `factor` with factor_bits, where there is one; elsewhere by windows, which
    are not needed where the format does not reach beyond.
    """

    fraction_bits: int
    reach: int
    factor: int
    factor_bits: int
    windows: Windows | None


@cache
def reduction(fraction_bits: int, lowest: int, fmt: BinaryFormat, always_by_windows: bool) -> Reduction:
    """The reduction to a fraction of so many bits, of numbers with biased exponents from `lowest` on."""
    if fmt.emax < SMALL_RANGE:
        reach = fmt.emax + 1
        return Reduction(fraction_bits, reach, *_factor(fraction_bits + reach), None)
    if always_by_windows:
        return Reduction(fraction_bits, 0, 0, 0, windows(fraction_bits, lowest, fmt))
    beyond = windows(fraction_bits, fmt.bias + REACH, fmt)
    return Reduction(fraction_bits, REACH, *_factor(fraction_bits + REACH), beyond)


def _factor(bits: int) -> tuple[int, int]:
    return two_over_pi(bits), bits


def windows(fraction_bits: int, lowest: int, fmt: BinaryFormat) -> Windows:
    """Windows for numbers with biased exponents from `lowest` on."""
    p = fmt.precision
    chunk = 8 if fmt.exponent_bits <= SHORT_EXPONENT else 32
    count = -(-(fraction_bits + p + chunk + 1) // chunk)
    steps = (fmt.bias + fmt.emax - lowest) // chunk
    # the first chunk's highest bit is worth 2 in units of the last place of the lowest exponent
    places = lowest - fmt.bias - fmt.trailing_bits + (steps + count) * chunk - 2
    bits = two_over_pi(places)
    entries = [bits >> (chunk * k) & ((1 << chunk) - 1) for k in range(steps + count - 1, -1, -1)]
    name = f"two_over_pi_from_{lowest}"
    return Windows(Table(tuple(entries), chunk, name), chunk, count, lowest)


def in_right_angles(x: Unpacked, plan: Reduction, fmt: BinaryFormat) -> tuple[Bits, Bits]:
    """The magnitude of x as a quadrant, 0 to 3, and a fraction of a right angle."""
    phase("right angles")
    if plan.windows is None:
        turned = by_constant(x, plan, fmt)
    elif plan.reach == 0:
        turned = by_window(x, plan.windows, plan.fraction_bits, fmt)
    else:
        turned = by_size(x, plan.windows, plan, fmt)
    fraction = with_point(field(turned, 0, plan.fraction_bits), plan.fraction_bits)
    return turned >> plan.fraction_bits, fraction


def by_size(x: Unpacked, windows: Windows, plan: Reduction, fmt: BinaryFormat) -> Bits:
    """x 2/pi modulo 4, by the constant as far as it reaches."""
    below = subtract_modulo(fmt.bias + plan.reach - 1, x.exponent, x.exponent.width)
    if field(below, below.width - 1, 1):
        return by_window(x, windows, plan.fraction_bits, fmt)
    return by_constant(x, plan, fmt)


def by_constant(x: Unpacked, plan: Reduction, fmt: BinaryFormat) -> Bits:
    """x 2/pi modulo 4 for an exponent below reach."""
    width = plan.reach + plan.fraction_bits
    below = subtract_modulo(fmt.bias + plan.reach - 1, x.exponent, x.exponent.width)
    aligned = resize((plan.factor * x.significand) >> fmt.precision, width)
    distance = resize(below, (width - 1).bit_length())
    return field(aligned >> distance, 0, plan.fraction_bits + 2)


def by_window(x: Unpacked, windows: Windows, fraction_bits: int, fmt: BinaryFormat) -> Bits:
    """x 2/pi modulo 4 for any exponent that there are windows for."""
    places = subtract_modulo(x.exponent, windows.lowest, x.exponent.width)
    within = field(places, 0, windows.chunk.bit_length() - 1)
    significand = shift_left(x.significand, within, fmt.precision + windows.chunk - 1)
    width = windows.count * windows.chunk
    product = field(window(places, windows) * significand, 0, width)
    return product >> (width - 2 - fraction_bits)


def window(places: Bits, windows: Windows) -> Bits:
    """The bits of 2/pi that matter, so many places above the lowest exponent."""
    table = windows.chunks
    last = len(table.entries) - windows.count
    index = resize(places >> (windows.chunk.bit_length() - 1), max(last.bit_length(), 1))
    found = look_up(table, index)
    for k in unrolled(windows.count - 1):
        found = concatenate(found, look_up(table, index + (k + 1)))
    return found
