"""How many samples fall in each of several bins, as a plain C loop counts them.

A sample beyond the edges, and a NaN, is in no bin; one on the last edge is in the last bin. How many there
are is an integer of the host.
"""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.arrays.words import to_ints
from softfloat_py.environment import Rounding, current
from softfloat_py.errors import FormatError, NotEmulatedError, OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.constants import exactly, is_real
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import (
    addition,
    compare_quiet_equal,
    compare_signaling_greater_equal,
    compare_signaling_less,
    compare_signaling_less_equal,
    convert_from_integer,
    convert_to_integer,
    division,
    multiplication,
    round_to_integral_toward_zero,
    subtraction,
)
from softfloat_py.numbers.numpy_calls.folding import product
from softfloat_py.numbers.numpy_calls.reductions import reduced
from softfloat_py.numbers.numpy_calls.searching import ascends, searchsorted
from softfloat_py.numbers.operands import format_of


class Bins(NamedTuple):
    """The edges of bins and, if they are evenly spaced, how many there are for a unit of the samples."""

    edges: FloatArray
    scale: Any = None


def histogram(a: Any, bins: Any = 10, range: Any = None, density: bool = False, weights: Any = None) -> Any:
    """How many of all samples fall in each bin, and the edges of the bins (numpy.histogram).

    With a number of bins, these are evenly spaced over the range, whose limits are constants or Numbers, or
    over what the samples span; see `histogram_bin_edges`. Counted for each sample:
    compare_signaling_greater_equal with the first edge; if that holds compare_signaling_less_equal with the
    last; if that holds too a subtraction of the first edge, a multiplication by bins / (last - first),
    convert_to_integer of 32 bits towards zero (with options of one direction round_to_integral_toward_zero in
    front of it), compare_signaling_less with the edge below, and unless that holds or the bin is the last
    compare_signaling_greater_equal with the edge above, which move the sample to the bin beside it. Where the
    limits are no constants, a division gives the factor. Raises OperandError where one bin is not enough: for
    bins about as narrow as the format tells numbers apart.

    With edges, which ascend: a bisection as `numpy.searchsorted` counts it, and for samples from the last
    edge on compare_quiet_equal with it.

    With `density`, for each bin: a subtraction gives its width, convert_from_integer its number as a float of
    the format, and two divisions by the width and by the number of all, which is converted once.
    """
    samples = _samples("numpy.histogram", a, bins, range, weights)
    found = _bins("numpy.histogram", samples, bins, range)
    counts = _between(samples, found.edges) if found.scale is None else _even(samples, *found)
    return (_densities(counts, found.edges) if density else counts), found.edges


def histogram_bin_edges(a: Any, bins: Any = 10, range: Any = None, weights: Any = None) -> FloatArray:
    """The edges of bins (numpy.histogram_bin_edges).

    A number n of bins over a range of constants has constants as edges, each exact and then rounded, which
    cost nothing. Without a range its limits are the smallest and the largest of m samples: m - 1 times
    minimum and maximum, and compare_quiet_equal, since if they are equal a subtraction and an addition of a
    half keep them apart. With these, or limits that are Numbers: a subtraction, a division by n, and for each
    edge in between convert_from_integer of its place, a multiplication and an addition.
    """
    samples = _samples("numpy.histogram_bin_edges", a, bins, range, weights)
    return _bins("numpy.histogram_bin_edges", samples, bins, range, scaled=False).edges


# -- edges ------------------------------------------------------------------------------------------


def _samples(function: str, a: Any, bins: Any, limits: Any, weights: Any) -> FloatArray:
    if weights is not None:
        raise NotEmulatedError(f"weights= of {function}", f"{function} without it, or a sum for each bin")
    if isinstance(bins, str):
        raise NotEmulatedError(f"bins={bins!r} of {function}", "a number of bins, or their edges")
    fmt = format_of((a, bins, limits))
    return FloatArray._of(fmt, np.ravel(encodings_for(fmt, a, function)))


def _bins(function: str, samples: FloatArray, bins: Any, limits: Any, scaled: bool = True) -> Bins:
    if np.ndim(bins) == 0:
        if not isinstance(bins, int | np.integer) or bins < 1:
            raise OperandError(f"{function} needs a number of bins from 1 on, or their edges, not {bins!r}")
        return _even_bins(int(bins), *_limits(function, samples, limits), samples, scaled)
    edges = FloatArray._of(samples.format, encodings_for(samples.format, bins, function))
    if edges.ndim != 1 or len(edges) < 2 or not ascends(edges):
        raise OperandError(f"{function} needs two edges or more that ascend, not {bins!r}")
    return Bins(edges)


def _limits(function: str, samples: FloatArray, given: Any) -> tuple[Any, Any]:
    """Where the first bin begins and the last one ends: Fractions, or Numbers."""
    if given is None and len(samples) == 0:
        given = (0, 1)
    first, last = _span(samples) if given is None else given
    if isinstance(first, Emulated) or isinstance(last, Emulated):
        first, last = (_number(function, samples, limit) for limit in (first, last))
        same = compare_quiet_equal(first, last)
        return (subtraction(first, 0.5), addition(last, 0.5)) if same else (first, last)
    if not all(is_real(limit) and isfinite(limit) for limit in (first, last)) or first > last:
        raise OperandError(f"{function} needs a range of two finite numbers that ascend, not {given!r}")
    half = exactly(0.5) if first == last else 0
    return exactly(first) - half, exactly(last) + half


def _span(samples: FloatArray) -> list[Any]:
    return [reduced(extreme, samples, None, False) for extreme in (np.minimum, np.maximum)]


def _number(function: str, samples: FloatArray, limit: Any) -> Any:
    number = samples.format.value_of(encodings_for(samples.format, limit, function))
    if not samples.format.is_finite(number._bits):
        raise OperandError(f"{function} needs samples, or a range, with finite limits, not {number}")
    return number


def _even_bins(count: int, first: Any, last: Any, samples: FloatArray, scaled: bool) -> Bins:
    fmt = samples.format
    if is_real(first):
        constants = [first + (last - first) * place / count for place in range(count + 1)]
        return Bins(fmt.array(constants), count / (last - first))
    width = subtraction(last, first)
    step = division(width, count)
    inside = addition(multiplication(convert_from_integer(np.arange(1, count), fmt, width=32), step), first)
    edges: Any = np.concatenate((np.stack([first]), inside, np.stack([last])))
    return Bins(edges, division(count, width) if scaled else None)


# -- numbers of samples -----------------------------------------------------------------------------


def _even(samples: FloatArray, edges: FloatArray, scale: Any) -> NDArray[np.intp]:
    """How many samples are in evenly spaced bins, whose places are computed."""
    inside: Any = compare_signaling_greater_equal(samples, edges[0])
    inside[inside] = compare_signaling_less_equal(samples[inside], edges[-1])
    within, last = samples[inside], len(edges) - 2
    places = np.minimum(_truncated(product(subtraction(within, edges[0]), scale)), last)
    below: Any = compare_signaling_less(within, edges[places])
    unsettled = ~below & (places < last)
    above = np.zeros_like(below)
    above[unsettled] = compare_signaling_greater_equal(within[unsettled], edges[places[unsettled] + 1])
    places = places - below + above
    _check_places(within, edges, places)
    return np.bincount(places, minlength=last + 1)


def _check_places(within: FloatArray, edges: FloatArray, places: NDArray[np.intp]) -> None:
    """Refuse what the plain loop gets wrong: where bins are about as narrow as the format tells numbers
    apart, a computed place may be more than one bin off. Not counted.
    """
    fmt, last = edges.format, len(edges) - 2
    samples, limits = _exact_values(within), _exact_values(edges)
    wrong = (samples < limits[places]) | ((samples >= limits[places + 1]) & (places < last))
    if wrong.any():
        raise OperandError(
            f"numpy.histogram needs fewer bins than {last + 1} in {fmt.name}, where the computed place of "
            f"{samples[wrong][0]} is more than one bin off; bins=edges are searched, and right"
        )


def _exact_values(x: FloatArray) -> NDArray[Any]:
    try:
        return x.to_numpy()
    except FormatError:  # the host has no dtype of that width
        return np.array([x.format.decode(bits) for bits in to_ints(x._bits)], object)


def _truncated(x: Any) -> Any:
    """C's conversion to int."""
    if current.get().options.all_directions:
        return convert_to_integer(x, rounding=Rounding.TOWARD_ZERO)
    return convert_to_integer(round_to_integral_toward_zero(x))


def _between(samples: FloatArray, edges: FloatArray) -> NDArray[np.intp]:
    """How many samples are between edges, which are searched."""
    places = searchsorted(edges, samples, "right")
    on_last_edge = places == len(edges)
    on_last_edge[on_last_edge] = compare_quiet_equal(samples[on_last_edge], edges[-1])
    bins = places - on_last_edge - 1
    last = len(edges) - 2
    return np.bincount(bins[(bins >= 0) & (bins <= last)], minlength=last + 1)


def _densities(counts: NDArray[np.intp], edges: FloatArray) -> Any:
    fmt = edges.format
    numbers = convert_from_integer(counts, fmt, width=32)
    total = convert_from_integer(int(counts.sum()), fmt, width=32)
    return division(division(numbers, subtraction(edges[1:], edges[:-1])), total)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.histogram: histogram,
    np.histogram_bin_edges: histogram_bin_edges,
}
