"""Fixed-point numbers: polynomials of them, and how they are brought to other widths.

What is cut off is cut toward zero, where nothing else is said.
"""

from __future__ import annotations

from softfloat_py.routines.elementary.polynomials import Polynomial
from softfloat_py.routines.language import Bits, constant, resize, select, with_point
from softfloat_py.routines.multiplication import merge_lowest

# -- polynomials --------------------------------------------------------------------------------------------


def horner(r: Bits, series: Polynomial) -> Bits:
    """The value of a polynomial for a magnitude r, with the fraction bits that it states."""
    value = constant(series.first, series.first_width)
    for stage in series.stages:
        product = ((r >> stage.drop) * value) >> stage.shift
        if stage.adds:
            value = with_point(resize(stage.coefficient + product, stage.width), stage.places)
        else:
            value = with_point(resize(stage.coefficient - product, stage.width), stage.places)
    return value


def horner_of_either_sign(r: Bits, negative: Bits, series: Polynomial) -> Bits:
    """The value of a polynomial of alternating signs for r, or -r where `negative` is set."""
    value = constant(series.first, series.first_width)
    for stage in series.stages:
        product = ((r >> stage.drop) * value) >> stage.shift
        if negative:
            value = with_point(resize(stage.coefficient + product, stage.width), stage.places)
        else:
            value = with_point(resize(stage.coefficient - product, stage.width), stage.places)
    return value


# -- widths -------------------------------------------------------------------------------------------------


def moved(x: Bits, places: int) -> Bits:
    """x shifted left by so many places, or right where they are negative."""
    return x << places if places >= 0 else x >> -places


def at_top(x: Bits, width: int) -> Bits:
    """x with its top bit on top of so many bits; what does not fit is cut off."""
    return moved(x, width - x.width)


def fitted(x: Bits, width: int) -> Bits:
    """x with its top bit on top of so many bits; what does not fit is merged into the lowest one."""
    lost = x.width - width
    return merge_lowest(x, lost) if lost > 0 else x << -lost


def at_most(distance: Bits, limit: int) -> Bits:
    """A distance, or the limit where it is beyond that."""
    if distance.width < limit.bit_length():
        return distance
    return resize(select(distance > limit, limit, distance), limit.bit_length())
