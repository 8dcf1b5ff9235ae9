"""What the elementary functions share: the value of a polynomial in fixed point."""

from __future__ import annotations

from softfloat_py.routines.elementary.polynomials import Polynomial
from softfloat_py.routines.language import Bits, constant, resize, with_point


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
