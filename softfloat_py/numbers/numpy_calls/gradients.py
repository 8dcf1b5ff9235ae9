"""Slopes of samples, from each one's neighbours, as plain C loops compute them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_tuple

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.functions import addition, division, multiplication, subtraction
from softfloat_py.numbers.numpy_calls.folding import product, quotient, step_of
from softfloat_py.numbers.operands import format_of

# Of three samples from an edge inwards, what each is multiplied by, emulated or a constant.
Weights = tuple[Any, Any, Any]


def gradient(f: Any, *varargs: Any, axis: Any = None, edge_order: int = 1) -> Any:
    """The slope at each sample, along one axis or several, a result for each (numpy.gradient).

    What follows is the spacing h, 1 if there is none: a constant or a Number for all axes, or for each axis
    one, or the coordinates of the samples along it. A constant is folded into the others; coordinates are
    read at run time, and so counted even if they are constants. Counted for each line of n samples:

    With a spacing: inside a subtraction and a division by 2 h, at both edges a subtraction and a division by
    h, except by the constant 1. With edge_order=2 it is at each edge 3 multiplications by 1.5 / h, 2 / h and
    0.5 / h, and two additions or subtractions. An emulated h costs once a multiplication by 2 and, with
    edge_order=2, those 3 divisions.

    With coordinates: inside 3 multiplications, a subtraction and an addition, and at the edges as above,
    where h is the distance there. Once for all lines n - 1 subtractions give the distances. Each sample
    inside, with d before and e after it, has the factors e / (d (d + e)), (e - d) / (d e) and d / (e (d +
    e)): once an addition, a subtraction, 3 multiplications and 3 divisions. With edge_order=2 each edge, with
    d beside it and e beyond, has (2 d + e) / (d (d + e)), (d + e) / (d e) and d / (e (d + e)): once 2
    additions, 4 multiplications and 3 divisions.
    """
    fmt = format_of((f, *varargs))
    values: Any = FloatArray._of(fmt, encodings_for(fmt, f, "numpy.gradient"))
    axes = normalize_axis_tuple(range(values.ndim) if axis is None else axis, values.ndim)
    if edge_order not in (1, 2):
        raise OperandError(f"numpy.gradient needs edge_order 1 or 2, not {edge_order!r}")
    slopes = [
        np.moveaxis(_slopes(np.moveaxis(values, place, 0), spacing, edge_order), 0, place)
        for place, spacing in zip(axes, _spacings(varargs, len(axes)), strict=True)
    ]
    return slopes[0] if len(axes) == 1 else tuple(slopes)


def _spacings(given: tuple[Any, ...], count: int) -> tuple[Any, ...]:
    """A spacing for each axis."""
    if not given:
        return (1,) * count
    if len(given) == 1 and np.ndim(given[0]) == 0:
        return given * count
    if len(given) != count:
        raise OperandError(
            f"numpy.gradient needs one spacing or one for each of {count} axes, not {len(given)}"
        )
    return given


def _slopes(rows: Any, spacing: Any, edge_order: int) -> Any:
    """Slopes along the first axis."""
    if len(rows) <= edge_order:
        raise OperandError(
            f"numpy.gradient needs at least {edge_order + 1} samples along an axis, not {len(rows)}"
        )
    slopes = rows.copy()
    if np.ndim(spacing) == 0:
        step = step_of("numpy.gradient", spacing)
        steps = step, step
        slopes[1:-1] = quotient(subtraction(rows[2:], rows[:-2]), product(2, step))
    else:
        distances = _distances(spacing, rows)
        steps = distances[0], distances[-1]
        slopes[1:-1] = _slopes_inside(rows, distances)
    if edge_order == 1:
        slopes[0] = quotient(subtraction(rows[1], rows[0]), steps[0])
        slopes[-1] = quotient(subtraction(rows[-1], rows[-2]), steps[1])
        return slopes
    if np.ndim(spacing) == 0:
        first = last = _even_weights(steps[0])
    else:
        first, last = _weights(distances[0], distances[1]), _weights(distances[-1], distances[-2])
    outer, middle, inner = _weighed(first, rows[:3])
    slopes[0] = subtraction(subtraction(middle, outer), inner)
    outer, middle, inner = _weighed(last, rows[:-4:-1])
    slopes[-1] = addition(subtraction(inner, middle), outer)
    return slopes


def _distances(coordinates: Any, rows: FloatArray) -> Any:
    """The distances between samples."""
    bits = encodings_for(rows.format, coordinates, "numpy.gradient")
    if bits.shape != (len(rows),):
        raise OperandError(
            f"numpy.gradient needs a coordinate for each of {len(rows)} samples, "
            f"not an array of shape {bits.shape}"
        )
    places = FloatArray._of(rows.format, bits)
    return subtraction(places[1:], places[:-1])


def _slopes_inside(rows: FloatArray, distances: FloatArray) -> Any:
    before, after = distances[:-1], distances[1:]
    both = addition(before, after)
    factors = (
        division(after, multiplication(before, both)),
        division(subtraction(after, before), multiplication(before, after)),
        division(before, multiplication(after, both)),
    )
    shape = (-1,) + (1,) * (rows.ndim - 1)
    samples = rows[:-2], rows[1:-1], rows[2:]
    earlier, here, later = (
        multiplication(factor.reshape(shape), sample) for factor, sample in zip(factors, samples, strict=True)
    )
    return addition(subtraction(here, earlier), later)


def _even_weights(step: Any) -> Weights:
    return quotient(Fraction(3, 2), step), quotient(2, step), quotient(Fraction(1, 2), step)


def _weights(near: Any, far: Any) -> Weights:
    """At an edge, from the distances to the sample beside it and from there to the next."""
    both = addition(near, far)
    return (
        division(addition(multiplication(2, near), far), multiplication(near, both)),
        division(both, multiplication(near, far)),
        division(near, multiplication(far, both)),
    )


def _weighed(weights: Weights, samples: FloatArray) -> list[Any]:
    return [product(weight, sample) for weight, sample in zip(weights, samples, strict=True)]


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {np.gradient: gradient}
