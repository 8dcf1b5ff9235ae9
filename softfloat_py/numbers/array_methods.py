"""The methods of arrays that are numpy's functions on them; each counts what the function counts."""

from __future__ import annotations

import sys
from typing import Any, Self, TypeAlias

import numpy as np
from numpy.typing import NDArray

from softfloat_py.numbers.constants import Constant
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.operands import as_data

Axes: TypeAlias = "int | tuple[int, ...] | None"
Operand: TypeAlias = "Emulated | Constant | NDArray[np.integer[Any]]"


class ArrayMethods(Emulated):
    """What an array does by numpy's functions, in index order, as the plain C loop on the target would."""

    __slots__ = ()

    # -- sums and products --------------------------------------------------------------------------

    def sum(self, axis: Axes = None, *, keepdims: bool = False) -> Any:
        """The running sum in index order, starting with the first element; +0 for none."""
        return self._numpy(np.sum, self, axis=axis, keepdims=keepdims)

    def prod(self, axis: Axes = None, *, keepdims: bool = False) -> Any:
        """The running product in index order, starting with the first element; 1 for none."""
        return self._numpy(np.prod, self, axis=axis, keepdims=keepdims)

    def cumsum(self, axis: int | None = None) -> Self:
        """All the running sums in index order; along one axis if none is given."""
        return self._numpy(np.cumsum, self, axis=axis)  # type: ignore[no-any-return]

    def cumprod(self, axis: int | None = None) -> Self:
        """All the running products in index order; along one axis if none is given."""
        return self._numpy(np.cumprod, self, axis=axis)  # type: ignore[no-any-return]

    def trace(self, offset: int = 0, axis1: int = 0, axis2: int = 1) -> Any:
        """The sum along a diagonal in index order."""
        return self._numpy(np.trace, self, offset, axis1, axis2)

    def dot(self, other: Operand) -> Any:
        """Products, then their running sum in index order, starting with the first product."""
        return self._numpy(np.dot, self, other)

    def __matmul__(self, other: Operand) -> Any:
        return self._numpy(np.matmul, self, other)

    def __rmatmul__(self, other: Operand) -> Any:
        return self._numpy(np.matmul, other, self)

    # -- statistics ---------------------------------------------------------------------------------

    def mean(self, axis: Axes = None, *, keepdims: bool = False) -> Any:
        """The sum in index order, divided by the number of elements: n - 1 additions and a division."""
        return self._numpy(np.mean, self, axis=axis, keepdims=keepdims)

    def var(self, axis: Axes = None, *, ddof: float = 0, keepdims: bool = False) -> Any:
        """The sum of squared distances from the mean, divided by n - ddof; see `statistics.var`."""
        return self._numpy(np.var, self, axis=axis, ddof=ddof, keepdims=keepdims)

    def std(self, axis: Axes = None, *, ddof: float = 0, keepdims: bool = False) -> Any:
        """The square root of the variance."""
        return self._numpy(np.std, self, axis=axis, ddof=ddof, keepdims=keepdims)

    # -- order and limits ---------------------------------------------------------------------------

    def max(self, axis: Axes = None, *, keepdims: bool = False) -> Any:
        """The operation maximum from element to element; a NaN if there is one."""
        return self._numpy(np.max, self, axis=axis, keepdims=keepdims)

    def min(self, axis: Axes = None, *, keepdims: bool = False) -> Any:
        """The operation minimum from element to element; a NaN if there is one."""
        return self._numpy(np.min, self, axis=axis, keepdims=keepdims)

    def argmax(self, axis: int | None = None, *, keepdims: bool = False) -> Any:
        """The first place of the largest element, or of the first NaN; see `ordering.argmax`."""
        return self._numpy(np.argmax, self, axis=axis, keepdims=keepdims)

    def argmin(self, axis: int | None = None, *, keepdims: bool = False) -> Any:
        """The first place of the smallest element, or of the first NaN; see `ordering.argmin`."""
        return self._numpy(np.argmin, self, axis=axis, keepdims=keepdims)

    def sort(self, axis: int = -1, kind: str | None = None) -> None:
        """Put the elements themselves in ascending order, NaNs last: a merge sort, counted by comparisons."""
        self._bits[...] = self._numpy(np.sort, self, axis=axis, kind=kind)._bits

    def argsort(self, axis: int | None = -1, kind: str | None = None) -> NDArray[np.intp]:
        """The places of the elements in ascending order, NaNs last: a merge sort, counted by comparisons."""
        return self._numpy(np.argsort, self, axis=axis, kind=kind)  # type: ignore[no-any-return]

    def partition(self, kth: Any, axis: int = -1) -> None:
        """Put the elements at some places where they stand in order: the merge sort of `sort`."""
        self._bits[...] = self._numpy(np.partition, self, kth, axis)._bits

    def argpartition(self, kth: Any, axis: int | None = -1) -> NDArray[np.intp]:
        """Places that put some elements where they stand in order: the merge sort of `argsort`."""
        return self._numpy(np.argpartition, self, kth, axis)  # type: ignore[no-any-return]

    def searchsorted(self, v: Any, side: str = "left", sorter: Any = None) -> Any:
        """The places for values among these, which ascend, by bisection; see `searching.searchsorted`."""
        return self._numpy(np.searchsorted, self, v, side, sorter)

    def clip(self, min: Any = None, max: Any = None) -> Self:
        """The operation maximum with the lower limit, then minimum with the upper one."""
        frame = sys._getframe(1)
        lowest, highest = as_data(self._format, min, frame), as_data(self._format, max, frame)
        return self._numpy(np.clip, self, lowest, highest)  # type: ignore[no-any-return]

    def round(self, decimals: int = 0) -> Self:
        """The nearest integral values, of two the even one; `decimals` other than 0 are not emulated."""
        return self._numpy(np.round, self, decimals)  # type: ignore[no-any-return]

    # -- only moving, which counts nothing -----------------------------------------------------------

    def flatten(self) -> Self:
        """A copy of the elements along one axis, the last index fastest."""
        return self._numpy(np.ravel, self).copy()  # type: ignore[no-any-return]

    def squeeze(self, axis: Axes = None) -> Self:
        """Without axes of length one."""
        return self._numpy(np.squeeze, self, axis)  # type: ignore[no-any-return]

    def swapaxes(self, axis1: int, axis2: int) -> Self:
        """With two axes exchanged."""
        return self._numpy(np.swapaxes, self, axis1, axis2)  # type: ignore[no-any-return]

    def repeat(self, repeats: Any, axis: int | None = None) -> Self:
        """Each element so many times."""
        return self._numpy(np.repeat, self, repeats, axis)  # type: ignore[no-any-return]

    def take(self, indices: Any, axis: int | None = None) -> Any:
        """The elements that integers name."""
        return self._numpy(np.take, self, indices, axis)

    def diagonal(self, offset: int = 0, axis1: int = 0, axis2: int = 1) -> Self:
        """The elements of a diagonal."""
        return self._numpy(np.diagonal, self, offset, axis1, axis2)  # type: ignore[no-any-return]

    # -- truths -------------------------------------------------------------------------------------

    def any(self, axis: Axes = None, *, keepdims: bool = False) -> Any:
        """Whether an element differs from zero: a comparison for each element."""
        return self._numpy(np.any, self, axis=axis, keepdims=keepdims)

    def all(self, axis: Axes = None, *, keepdims: bool = False) -> Any:
        """Whether all elements differ from zero: a comparison for each element."""
        return self._numpy(np.all, self, axis=axis, keepdims=keepdims)

    def nonzero(self) -> tuple[NDArray[np.intp], ...]:
        """The indices of elements that differ from zero: a comparison for each element."""
        return self._numpy(np.nonzero, self)  # type: ignore[no-any-return]

    def _numpy(self, function: Any, *arguments: Any, **keywords: Any) -> Any:
        return self.__array_function__(function, (), arguments, keywords)
