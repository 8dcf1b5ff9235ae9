"""Differences of a sequence, areas below samples, and phases without jumps, as plain C loops compute them."""

from __future__ import annotations

from collections.abc import Callable
from math import prod, tau
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_index
from numpy.typing import NDArray

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.functions import (
    absolute,
    addition,
    compare_quiet_equal,
    compare_signaling_greater,
    compare_signaling_less,
    division,
    negate,
    subtraction,
)
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.numpy_calls.folding import product, quotient, step_of
from softfloat_py.numbers.numpy_calls.reductions import reduced
from softfloat_py.numbers.operands import format_of
from softfloat_py.numbers.value_system import ValueSystem


def ediff1d(ary: Any, to_end: Any = None, to_begin: Any = None) -> Any:
    """Each of all elements less the one before it, between what is put in front and behind (numpy.ediff1d).

    Counted for n elements: n - 1 subtractions.
    """
    values = _array("numpy.ediff1d", ary, format_of((ary, to_end, to_begin))).ravel()
    parts = [to_begin, subtraction(values[1:], values[:-1]), to_end]
    ends = [_array("numpy.ediff1d", part, values.format).ravel() for part in parts if part is not None]
    return np.concatenate(ends)


def trapezoid(y: Any, x: Any = None, dx: Any = 1.0, axis: int = -1) -> Any:
    """The area below samples, of trapezia between neighbours (numpy.trapezoid).

    The distances are dx, a constant or a Number, or those of coordinates x, one for each sample or in y's
    shape. Counted for each line of n samples: n - 1 additions, n - 1 multiplications by the distance (none if
    dx is 1), n - 1 divisions by 2, and n - 2 additions for their running sum; n - 1 subtractions for the
    distances of coordinates, once for all lines if there is but one for each sample.
    """
    values = _array("numpy.trapezoid", y, format_of((y, x, dx)))
    axis = normalize_axis_index(axis, values.ndim)
    rows = np.moveaxis(values, axis, 0)
    sums = addition(rows[1:], rows[:-1])
    if x is None:
        areas = product(step_of("numpy.trapezoid", dx), sums)
    else:
        areas = product(_distances(x, values, axis), sums)
    return reduced(np.add, division(areas, 2), 0, False)


def _distances(x: Any, values: FloatArray, axis: int) -> Any:
    """The distances of coordinates, along the first axis, as they broadcast with the samples."""
    places = _array("numpy.trapezoid", x, values.format)
    if places.shape == (values.shape[axis],):
        along = places.reshape((-1,) + (1,) * (values.ndim - 1))
    elif places.shape == values.shape:
        along = np.moveaxis(places, axis, 0)
    else:
        raise OperandError(
            f"numpy.trapezoid needs a coordinate for each of {values.shape[axis]} samples, "
            f"or an array of shape {values.shape}, not of shape {places.shape}"
        )
    return subtraction(along[1:], along[:-1])


def unwrap(p: Any, discont: Any = None, axis: int = -1, *, period: Any = tau) -> Any:
    """Phases without jumps of whole periods (numpy.unwrap).

    A difference of neighbours of `discont` or more, half a period if it is not given, is one between minus
    and plus half a period too much or too little. The period is a constant or a Number; of a Number, half is
    a division in front of all, and its negative a negate.

    Counted for each phase but the first: a subtraction, absolute, and compare_signaling_less with `discont`.
    Unless that holds: subtraction, the operations of numpy.remainder and an addition bring the difference
    within half a period; compare_quiet_equal asks for minus half a period, where it is that
    compare_signaling_greater for its sign; a subtraction gives the correction, and an addition the running
    sum of corrections. And an addition of that sum.
    """
    values = _array("numpy.unwrap", p, format_of((p, discont, period)))
    along = np.moveaxis(values, axis, 0)
    rows = along.reshape(len(along), prod(along.shape[1:]))
    differences = subtraction(rows[1:], rows[:-1])
    whole = step_of("numpy.unwrap", period)
    half = quotient(whole, 2)
    jumps = ~compare_signaling_less(absolute(differences), half if discont is None else discont)
    corrections = _corrections(differences[jumps], whole, half)
    unwrapped = rows.copy()
    unwrapped[1:] = addition(rows[1:], _running_sums(jumps, corrections))
    return np.moveaxis(unwrapped.reshape(along.shape), 0, axis)


def _corrections(differences: FloatArray, whole: Any, half: Any) -> Any:
    """What brings differences within half a period."""
    lowest = negate(half) if isinstance(half, Number) else -half
    within: Any = addition(np.remainder(subtraction(differences, lowest), whole), lowest)
    upwards = compare_quiet_equal(within, lowest)
    upwards[upwards] = compare_signaling_greater(differences[upwards], 0)
    within[upwards] = half
    return subtraction(within, differences)


def _running_sums(jumps: NDArray[np.bool_], corrections: FloatArray) -> FloatArray:
    """The sums of corrections up to each place, which start with zero; one stands for each jump."""
    fmt = corrections.format
    sums = FloatArray._of(fmt, np.zeros(jumps.shape, corrections._bits.dtype))
    steps = sums.copy()
    steps[jumps] = corrections
    total = FloatArray._of(fmt, np.zeros(jumps.shape[1], corrections._bits.dtype))
    for place, jumping in enumerate(jumps):
        if jumping.any():
            total[jumping] = addition(total[jumping], steps[place, jumping])
        sums[place] = total
    return sums


def _array(function: str, value: Any, fmt: ValueSystem) -> Any:
    return FloatArray._of(fmt, np.atleast_1d(encodings_for(fmt, value, function)))


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.ediff1d: ediff1d,
    np.trapezoid: trapezoid,
    np.unwrap: unwrap,
}
