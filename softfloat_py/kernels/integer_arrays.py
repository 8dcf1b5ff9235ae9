"""Host arrays of ints and truths in a kernel: data of the program, whose floats are the target's."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.kernels.holding import holds_floats, is_emulated
from softfloat_py.numbers.complex.complex_value import ComplexValue
from softfloat_py.numbers.emulated import Emulated

if TYPE_CHECKING:
    from softfloat_py.kernels.world import World


class IntegerArray(np.ndarray[Any, Any]):
    """An array of ints, or of truths, which are ints of 8 bits, in an emulated run.

    What numpy makes of it in ints stays as it is, integer work of the program that nothing counts. What would
    be floats of the host is computed on the target: the ints are converted, counted in the width they have,
    and numpy's function goes on from there.
    """

    world: World | None

    @classmethod
    def of(cls, world: World, values: NDArray[Any]) -> IntegerArray:
        """A host array of ints as the run sees it; both share their memory."""
        made = values.view(cls)
        made.world = world
        return made

    def __array_finalize__(self, origin: Any) -> None:
        self.world = getattr(origin, "world", None)

    def __array_ufunc__(self, ufunc: np.ufunc, method: str, *inputs: Any, **keywords: Any) -> Any:
        if any(map(is_emulated, inputs)):
            return NotImplemented
        with np.errstate(all="ignore"):
            result = getattr(ufunc, method)(
                *map(_plain, inputs), **{k: _plain(v) for k, v in keywords.items()}
            )
        data = [self._data(value) for value in inputs] if method == "__call__" else inputs
        return self._again(getattr(ufunc, method), result, data, keywords)

    def __array_function__(self, function: Any, types: Any, arguments: Any, keywords: Any) -> Any:
        if any(issubclass(each, Emulated | ComplexValue) for each in types):
            return NotImplemented
        with np.errstate(all="ignore"):
            result = function(*_plain(arguments), **_plain(keywords))
        return self._again(function, result, arguments, keywords)

    def _again(self, function: Any, result: Any, arguments: Any, keywords: Any) -> Any:
        """The result, if it is ints; what would be floats, computed by the target."""
        world = self.world
        if world is None:
            return result
        if not holds_floats(result):
            return keywords["out"][0] if keywords.get("out") else _of_run(world, result)
        return function(*_emulated(world, arguments), **{k: v for k, v in keywords.items() if k != "dtype"})

    def _data(self, value: Any) -> Any:
        """An int beside the array, which is data as its elements are if it is no literal."""
        return np.asarray(value).astype(np.int32)[()] if type(value) is int else value

    def astype(self, dtype: Any, *arguments: Any, **keywords: Any) -> Any:
        """Ints of another width; or, for a type of floats, numbers of the format, each a conversion."""
        if self.world is not None and np.dtype(dtype).kind == "f":
            return self.world.converted(self)
        return super().astype(dtype, *arguments, **keywords)

    def dot(self, other: Any, *arguments: Any) -> Any:
        """numpy.dot, which takes numbers of the format too."""
        return np.dot(self, other, *arguments)

    # numpy's own methods would divide on the host.
    def mean(self, *arguments: Any, **keywords: Any) -> Any:
        """numpy.mean of the converted ints."""
        return np.mean(self, *arguments, **keywords)

    def var(self, *arguments: Any, **keywords: Any) -> Any:
        """numpy.var of the converted ints."""
        return np.var(self, *arguments, **keywords)

    def std(self, *arguments: Any, **keywords: Any) -> Any:
        """numpy.std of the converted ints."""
        return np.std(self, *arguments, **keywords)


def integers_of_run(world: World, value: Any) -> Any:
    """A host array of ints or truths, as methods of arrays give it, as the run sees it; all else as it is."""
    is_hosts = type(value) is np.ndarray and value.dtype.kind in "iub"
    return IntegerArray.of(world, value) if is_hosts else value


def _of_run(world: World, result: Any) -> Any:
    """A result of ints as the run sees it, which may share the memory of what it came from."""
    if type(result) in (tuple, list):
        return type(result)(_of_run(world, each) for each in result)
    is_ints = isinstance(result, np.ndarray) and result.dtype.kind in "iu"
    return IntegerArray.of(world, result) if is_ints else world.delivered(result)


def _plain(value: Any) -> Any:
    match value:
        case IntegerArray():
            return value.view(np.ndarray)
        case tuple() | list():
            return type(value)(map(_plain, value))
        case dict():
            return {name: _plain(each) for name, each in value.items()}
    return value


def _emulated(world: World, value: Any) -> Any:
    match value:
        case IntegerArray() | np.integer():
            return world.converted(value)
        case tuple() | list():
            return type(value)(_emulated(world, each) for each in value)
    return value
