"""What generated array code calls: branches by mask, merging, counting, histograms, returns."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]
# Values on the way: an array, or a Python number that is the same for all elements.
Value = Any
# What is left at the end of a block: a mask of the elements still under way (None: all), how many they are,
# and values; or None where every element has returned.
End = tuple[Array | None, int, tuple[Value, ...]] | None
Block = Callable[..., End]

FEW = 8  # a side taken by less than one element in so many is worth gathering
_DTYPES = ((1, np.bool_), (8, np.uint8), (16, np.uint16), (32, np.uint32), (64, np.uint64))
SMALL = 127  # the largest feature that leaves the top bit of a byte free


def dtype_of(width: int) -> type[np.generic]:
    """The smallest dtype that holds a width of up to 64 bits."""
    return next(dtype for limit, dtype in _DTYPES if width <= limit)


def name_of_dtype(dtype: type[np.generic]) -> str:
    """What generated code calls a dtype. `bool` is Python's there, whose truths compare with any integer."""
    return "bool_" if dtype is np.bool_ else dtype.__name__


def spread(mask: Array, dtype: type[np.generic]) -> Array:
    """A mask as numbers of a dtype: all bits set where it is, none elsewhere."""
    return mask if dtype is np.bool_ else np.negative(mask.astype(dtype))


def merge(chosen: Array, if_true: Value, if_false: Value) -> Array:
    """if_true where a spread mask is set, if_false elsewhere; far quicker than np.where on random masks."""
    if isinstance(if_false, int) and if_false == 0:
        merged: Array = chosen & if_true
    else:
        merged = (chosen & (if_true ^ if_false)) ^ if_false
    return merged


def leading_zeros(x: Array, width: int) -> Array:
    """Zero bits above the highest set bit: all bits below it are set too, then the set bits counted."""
    smeared = x | (x >> 1)
    distance = 2
    while distance < width:
        smeared |= smeared >> distance
        distance *= 2
    zeros: Array = width - np.bitwise_count(smeared)
    return zeros


def quotient(x: Value, y: Value) -> Array:
    """x divided by y, rounded down; elements on the wrong side of an `if` may have a divisor of zero."""
    rounded_down: Array = x // (y + (y == 0))
    return rounded_down


def both(active: Array | None, mask: Array) -> Array:
    """The elements under way for which a mask is set."""
    return mask if active is None else active & mask


def _gathered(values: Sequence[Value], indices: Array) -> list[Value]:
    return [value[indices] if isinstance(value, np.ndarray) else value for value in values]


class Run:
    """One run of a program on arrays: counts, histograms, and the results of the current piece."""

    def __init__(
        self, stretches: int, largest_features: Sequence[int], counting: bool, callees: Sequence[Callee] = ()
    ) -> None:
        """`largest_features` says for each site what its feature cannot exceed; `callees` are the programs
        that are called.
        """
        self.counting = counting
        self.callees = callees
        self.counts = [0] * stretches
        self._histograms = [np.zeros(max(largest, SMALL) + 1, np.int64) for largest in largest_features]
        self._gathered_returns: list[tuple[Array, tuple[Value, ...]]] = []
        self._size = 0  # of the current piece
        self._masked_returns: list[tuple[Array | None, tuple[Value, ...]]] = []

    def piece(
        self, body: Block, n: int, active: Array | None, values: Sequence[Value], results: Sequence[Array]
    ) -> None:
        """Run the program on a piece of its parameters, filling the same piece of the results; n elements are
        active.
        """
        self._size = len(results[0])
        body(self, n, active, None, *values)
        for place, result in enumerate(results):
            self._fill(result, place)
        self._masked_returns.clear()
        self._gathered_returns.clear()

    def _fill(self, result: Array, place: int) -> None:
        """Bring together what the returns left for the result at this place."""
        if self._masked_returns:
            # The first stands for all; the later ones, and those gathered, set right what is theirs.
            merged = self._masked_returns[0][1][place]
            for mask, values in self._masked_returns[1:]:
                assert mask is not None, "only the first return is that of all"
                if values[place] is not merged:  # as flags mostly are, none
                    merged = merge(spread(mask, result.dtype.type), values[place], merged)
            result[...] = merged
        for indices, values in self._gathered_returns:
            result[indices] = values[place]

    def features(self) -> list[Mapping[int, int]]:
        """A histogram a site."""
        return [
            dict(zip(met.tolist(), histogram[met].tolist(), strict=True))
            for histogram in self._histograms
            for met in [np.flatnonzero(histogram)]
        ]

    # -- called by generated code ------------------------------------------------------------------

    def finish(self, values: tuple[Value, ...]) -> None:
        """The program's last return: the results of all elements, those returned early being set right
        later.
        """
        self._masked_returns.insert(0, (None, values))

    def early(self, active: Array | None, lanes: Array | None, values: tuple[Value, ...]) -> None:
        """A return some elements come to before the others."""
        if lanes is None:
            self._masked_returns.append((active, values))
            return
        if active is not None:
            indices = np.flatnonzero(active)
            values = tuple(_gathered(values, indices))
            lanes = lanes[indices]
        self._gathered_returns.append((lanes, values))

    def full(self, lanes: Array | None, value: int, dtype: type[np.generic]) -> Array:
        """One number for all elements of the current block, as an array."""
        return np.full(self._size if lanes is None else len(lanes), value, dtype)

    def hits(self, mask: Array, active: Array | None) -> int:
        """How many elements under way have a mask set."""
        return int(np.count_nonzero(both(active, mask))) if self.counting else 0

    def note(self, sites: Sequence[int], values: Value, n: int, active: Array | None) -> None:
        """Add the feature of a step, for n elements under way, to the histograms of its sites."""
        if not self.counting:
            return
        if not isinstance(values, np.ndarray):
            for site in sites:
                self._histograms[site][int(values)] += n
            return
        histograms = [self._histograms[site] for site in sites]
        most = max(map(len, histograms))
        if active is not None and most == SMALL + 1:
            # The top bit sets apart those not under way, which is quicker than to leave them out.
            values = values.astype(np.uint8) | (~active).view(np.uint8) << 7
        elif active is not None:
            values = values[active]
        counts = np.bincount(values, minlength=most)
        for histogram in histograms:
            histogram += counts[: len(histogram)]

    def branch(
        self,
        n: int,
        active: Array | None,
        lanes: Array | None,
        mask: Array,
        sides: tuple[Block, Block],
        dtypes: Sequence[type[np.generic]],
        live: Sequence[Value],
    ) -> End:
        """Run the sides of an `if` for the elements under way; `live` are the values they use."""
        chosen = both(active, mask)
        hits = int(np.count_nonzero(chosen))
        then, otherwise = sides
        if hits in (0, n):
            side = then if hits else otherwise
            return _as_arrays(side(self, n, active, lanes, *live), dtypes, len(mask))
        missed = ~mask if active is None else active & ~mask
        if hits * FEW < len(mask):
            return self._few(n, active, lanes, (chosen, missed), (then, otherwise), dtypes, live, hits)
        if (n - hits) * FEW < len(mask):
            return self._few(n, active, lanes, (missed, chosen), (otherwise, then), dtypes, live, n - hits)
        ends = (
            then(self, hits, chosen, lanes, *live),
            otherwise(self, n - hits, missed, lanes, *live),
        )
        return _merged(n, active, mask, ends, dtypes)

    def call(
        self, callee: int, n: int, active: Array | None, lanes: Array | None, values: Sequence[Value]
    ) -> list[Array]:
        """The results of a program that is called for the n elements under way; few of them are gathered."""
        called = self.callees[callee]
        size = self._size if lanes is None else len(lanes)
        if active is None or n * FEW >= size:
            return called.results(n, active, values, size)
        indices = np.flatnonzero(active)
        gathered = called.results(n, None, _gathered(values, indices), n)
        return [_put_back(value, indices, size, value.dtype.type, None) for value in gathered]

    def loop(
        self,
        active: Array | None,
        lanes: Array | None,
        rounds: Array,
        body: Block,
        carried: Sequence[Array],
        live: Sequence[Value],
    ) -> list[Array]:
        """What a loop carries, after as many rounds for each element under way as it has to do.

        Elements stand in the order of their rounds, most first, so that those with rounds left are the first.
        """
        under_way = np.arange(len(rounds)) if active is None else np.flatnonzero(active)
        order = under_way[np.argsort(rounds[under_way], kind="stable")[::-1]]
        ascending = rounds[order][::-1]
        most = int(ascending[-1]) if len(ascending) else 0
        still_going = len(order) - np.searchsorted(ascending, np.arange(most), side="right")
        places = order if lanes is None else lanes[order]
        values, outside = _gathered(carried, order), _gathered(live, order)
        for n in still_going.tolist():
            going = [value[:n] if isinstance(value, np.ndarray) else value for value in (*values, *outside)]
            end = body(self, n, None, places[:n], *going)
            assert end is not None, "a loop does not return"
            # A value handed on to another name must not be overwritten before it is read.
            following = [np.array(new) if any(new is old for old in going) else new for new in end[2]]
            for value, new in zip(values, following, strict=True):
                value[:n] = new
        ends = [value.copy() for value in carried]
        for end_of_all, value in zip(ends, values, strict=True):
            end_of_all[order] = value
        return ends

    def _few(
        self,
        n: int,
        active: Array | None,
        lanes: Array | None,
        masks: tuple[Array, Array],
        sides: tuple[Block, Block],
        dtypes: Sequence[type[np.generic]],
        live: Sequence[Value],
        few: int,
    ) -> End:
        """The first side gathered, the second for all; masks and sides in this order."""
        indices = np.flatnonzero(masks[0])
        short_lanes = indices if lanes is None else lanes[indices]
        short = sides[0](self, few, None, short_lanes, *_gathered(live, indices))
        whole = sides[1](self, n - few, masks[1], lanes, *live)
        if short is None:
            return _as_arrays(whole, dtypes, len(masks[0]))
        values = [
            _put_back(value, indices, len(masks[0]), dtype, None if whole is None else whole[2][place])
            for place, (value, dtype) in enumerate(zip(short[2], dtypes, strict=True))
        ]
        left = short[1] + (0 if whole is None else whole[1])
        if left == n:
            return active, n, tuple(values)
        under_way = np.zeros(len(masks[0]), np.bool_) if whole is None else _alive(whole, masks[1]).copy()
        under_way[indices] = True if short[0] is None else short[0]
        return under_way, left, tuple(values)


@dataclass(frozen=True, slots=True)
class Callee:
    """A program that is called: all runs of it in one, its code, and the dtypes of its results."""

    run: Run
    body: Block
    dtypes: Sequence[type[np.generic]]

    def results(self, n: int, active: Array | None, values: Sequence[Value], size: int) -> list[Array]:
        """What one call delivers for arrays of a size, n of whose elements are active."""
        results = [np.zeros(size, dtype) for dtype in self.dtypes]
        self.run.piece(self.body, n, active, values, results)
        return results


def _as_arrays(end: End, dtypes: Sequence[type[np.generic]], size: int) -> End:
    """An end whose values may be numbers, for a place where arrays are expected."""
    if end is None:
        return None
    values = (
        np.full(size, value, dtype) if isinstance(value, int) else value
        for value, dtype in zip(end[2], dtypes, strict=True)
    )
    return end[0], end[1], tuple(values)


def _put_back(value: Value, indices: Array, size: int, dtype: type[np.generic], others: Value) -> Value:
    """A full array with gathered elements put back among the others."""
    if isinstance(others, np.ndarray):
        full = others.copy()
    else:
        full = np.full(size, 0 if others is None else others, dtype)
    if value is not None:
        full[indices] = value
    return full


def _alive(end: tuple[Array | None, int, tuple[Value, ...]], mask: Array) -> Array:
    return mask if end[0] is None else end[0]


def _merged(
    n: int, active: Array | None, mask: Array, ends: tuple[End, End], dtypes: Sequence[type[np.generic]]
) -> End:
    """Both sides for all elements, merged by the mask."""
    then, otherwise = ends
    if then is None or otherwise is None:
        return _as_arrays(otherwise if then is None else then, dtypes, len(mask))
    values = tuple(_chosen(mask, *each) for each in zip(then[2], otherwise[2], dtypes, strict=True))
    left = then[1] + otherwise[1]
    if left == n:
        return active, n, values
    return _alive(then, mask) | _alive(otherwise, ~mask), left, values


def _chosen(mask: Array, if_true: Value, if_false: Value, dtype: type[np.generic]) -> Value:
    """One of two values for each element, or the only one that arrives."""
    if if_true is None or if_false is None:
        return if_false if if_true is None else if_true
    return merge(spread(mask, dtype), if_true, if_false)


# The names that generated code may use.
NAMES: Mapping[str, Any] = {
    "np": np,
    "merge": merge,
    "spread": spread,
    "leading_zeros": leading_zeros,
    "quotient": quotient,
    **{name_of_dtype(dtype): dtype for _, dtype in _DTYPES},
}
