"""numpy's functions on emulated values: a row for each that there is, a refusal for all others.

Element-wise functions are the operations of the table. Reductions go element by element in index order, as
the C loop on the target would. What only moves data is in `moving`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from inspect import Parameter, signature
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.applying import note_operand
from softfloat_py.numbers.array import encodings_for
from softfloat_py.numbers.array_constants import storage
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import division, multiplication
from softfloat_py.numbers.numpy_calls import (
    covariances,
    differences,
    elementwise,
    gradients,
    histograms,
    index_notation,
    interpolation,
    linear_algebra,
    logical,
    norms,
    ordering,
    padding,
    piecewise,
    placing,
    polynomials,
    powers,
    quantiles,
    quotients,
    real_transforms,
    reductions,
    searching,
    sequences,
    sets,
    solving,
    statistics,
    transcendental,
    transforms,
    truths,
    without_nans,
)
from softfloat_py.numbers.numpy_calls.elementwise import COMPOSED
from softfloat_py.numbers.numpy_calls.moving import MOVING, put
from softfloat_py.numbers.numpy_calls.refusals import method_refusal, refusal
from softfloat_py.numbers.operands import bits_beside, combined, format_of
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import OPERATIONS, Operation

# -- element-wise functions -------------------------------------------------------------------------

ELEMENTWISE: dict[str, Operation] = {
    **{row.ufunc: row for row in OPERATIONS.values() if row.ufunc},
    "fabs": OPERATIONS["absolute"],
    "fmax": OPERATIONS["maximum_number"],
    "fmin": OPERATIONS["minimum_number"],
    "fmod": OPERATIONS["remainder_truncated"],
}


def _operation(operation: Operation) -> Callable[..., Any]:
    def function(*values: Emulated) -> Any:
        return combined(operation, values[0].format, tuple([value._bits for value in values]))

    return function


# Each takes Numbers and FloatArrays of one format, which broadcast.
UFUNCS: dict[Any, Callable[..., Any]] = {
    **{getattr(np, name): _operation(operation) for name, operation in ELEMENTWISE.items()},
    np.positive: lambda x: +x,
    np.square: lambda x: multiplication(x, x),
    np.reciprocal: lambda x: division(1, x),
    **COMPOSED,
    **logical.ROWS,
    **powers.ROWS,
    **quotients.ROWS,
    **transcendental.UFUNC_ROWS,
}
# The operand, by its place, that is the program's own: an integer, or an exponent.
OWN_OPERANDS: dict[Any, int] = {np.ldexp: 1, np.power: 1, np.float_power: 1}


def call_ufunc(ufunc: np.ufunc, method: str, inputs: tuple[Any, ...], keywords: Mapping[str, Any]) -> Any:
    """What `__array_ufunc__` is: an element-wise function, or its `reduce` or `accumulate`."""
    if ufunc in FUNCTIONS and method == "__call__":  # matmul and its kin
        return call_function(ufunc, inputs, keywords)
    if ufunc not in UFUNCS:
        raise refusal(ufunc)
    if method in ("reduce", "accumulate"):
        return _call_reduction(ufunc, method, inputs, dict(keywords))
    if method != "__call__":
        raise method_refusal(ufunc, method)
    options = dict(keywords)
    outs = options.pop("out", (None,) * ufunc.nout)
    where = options.pop("where", True)
    if options:
        raise NotEmulatedError(
            f"{next(iter(options))}= of numpy.{ufunc.__name__}", "astype, which is counted"
        )
    values = _operands(ufunc, format_of((*inputs, *outs)), inputs)
    if any(value is NotImplemented for value in values):
        return NotImplemented
    if not (isinstance(where, bool | np.bool_) and where):
        return _call_where(ufunc, values, where, outs)
    result = UFUNCS[ufunc](*values)
    if ufunc.nout == 1:
        return put(outs[0], result)
    return tuple(map(put, outs, result))


def _operands(ufunc: np.ufunc, fmt: ValueSystem, inputs: tuple[Any, ...]) -> list[Any]:
    """What a ufunc is given, as values of the format; what is the program's own as it is."""
    values = []
    for place, value in enumerate(inputs):
        own = OWN_OPERANDS.get(ufunc) == place or (ufunc in logical.QUESTIONS and logical.is_known(value))
        if not own:
            if not isinstance(value, Emulated):
                note_operand(value)
            bits = bits_beside(fmt, value, f"numpy.{ufunc.__name__}")
            value = bits if bits is NotImplemented else fmt.value_of(bits)
        values.append(value)
    return values


def _call_where(ufunc: np.ufunc, values: list[Any], where: Any, outs: tuple[Any, ...]) -> Any:
    """The function on the elements that a mask names, which alone are computed and counted."""
    if any(out is None for out in outs):
        raise OperandError(f"where= of numpy.{ufunc.__name__} needs out=, which keeps what is not computed")
    mask = np.broadcast_to(where, outs[0].shape)
    results = UFUNCS[ufunc](*(_where(mask, value) for value in values))
    for out, result in zip(outs, results if ufunc.nout > 1 else (results,), strict=True):
        out[mask] = result
    return outs if ufunc.nout > 1 else outs[0]


def _where(mask: NDArray[np.bool_], value: Any) -> Any:
    """The elements that a mask names; a single value of the program, such as an exponent, as it is."""
    if np.ndim(value) or isinstance(value, Emulated):
        return np.broadcast_to(value, mask.shape)[mask]
    return value


# -- reductions ---------------------------------------------------------------------------------------


def _call_reduction(ufunc: Any, method: str, inputs: tuple[Any, ...], options: dict[str, Any]) -> Any:
    if ufunc not in reductions.REDUCED_BY:
        raise method_refusal(ufunc, method)
    (out,) = options.pop("out", None) or (None,)
    axis, keepdims = options.pop("axis", 0), options.pop("keepdims", False)
    unknown = [name for name, value in options.items() if value is not None]
    if unknown:
        raise NotEmulatedError(f"{unknown[0]}= of numpy.{ufunc.__name__}.{method}", "axis= and keepdims=")
    if method == "accumulate":
        result = reductions.accumulated(ufunc, inputs[0], axis)
    else:
        result = reductions.reduced(ufunc, inputs[0], axis, keepdims)
    return put(out, result)


def _reduction(ufunc: np.ufunc) -> Callable[..., Any]:
    def function(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
        return reductions.reduced(ufunc, a, axis, keepdims)

    return function


def _accumulation(ufunc: np.ufunc) -> Callable[..., Any]:
    """Running results along an axis, or of all elements along one."""

    def function(a: Any, axis: int | None = None) -> Any:
        along: Any = np.ravel(a) if axis is None else a
        return reductions.accumulated(ufunc, along, axis or 0)

    return function


# -- making -----------------------------------------------------------------------------------------


def _full_like(a: Emulated, fill_value: Any, *, shape: Any = None) -> Any:
    bits = np.empty(np.shape(a._bits) if shape is None else shape, storage(a.format))
    bits[...] = encodings_for(a.format, fill_value, "full_like")
    return a.format.value_of(bits)


# All functions that compute nothing: those that move data, make arrays of constants, or ask for shapes.
UNCOUNTED: dict[Callable[..., Any], Callable[..., Any]] = {
    np.shape: lambda a: np.shape(a._bits),
    np.ndim: lambda a: np.ndim(a._bits),
    np.size: lambda a, axis=None: np.size(a._bits, axis),
    np.diag_indices_from: lambda arr: np.diag_indices_from(arr._bits),
    np.tril_indices_from: lambda arr, k=0: np.tril_indices_from(arr._bits, k),
    np.triu_indices_from: lambda arr, k=0: np.triu_indices_from(arr._bits, k),
    np.zeros_like: lambda a, *, shape=None: _full_like(a, 0, shape=shape),
    np.ones_like: lambda a, *, shape=None: _full_like(a, 1, shape=shape),
    np.empty_like: lambda prototype, *, shape=None: _full_like(prototype, 0, shape=shape),
    np.full_like: _full_like,
    **placing.ROWS,
    **MOVING,
}

FUNCTIONS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.sum: _reduction(np.add),
    np.prod: _reduction(np.multiply),
    np.max: _reduction(np.maximum),
    np.amax: _reduction(np.maximum),
    np.min: _reduction(np.minimum),
    np.amin: _reduction(np.minimum),
    np.cumsum: _accumulation(np.add),
    np.cumprod: _accumulation(np.multiply),
    np.mean: statistics.mean,
    np.var: statistics.var,
    np.std: statistics.std,
    np.average: statistics.average,
    np.dot: reductions.dot,
    np.vdot: reductions.vdot,
    np.inner: reductions.inner,
    np.matmul: reductions.matmul,
    np.einsum: index_notation.einsum,
    np.sort: ordering.sort,
    np.argsort: ordering.argsort,
    np.argmax: ordering.argmax,
    np.argmin: ordering.argmin,
    np.clip: elementwise.clip,
    np.round: elementwise.round_to_integers,
    np.around: elementwise.round_to_integers,
    np.isposinf: elementwise.isposinf,
    np.isneginf: elementwise.isneginf,
    np.any: truths.any_true,
    np.all: truths.all_true,
    np.count_nonzero: truths.count_nonzero,
    np.nonzero: truths.nonzero,
    np.isclose: truths.isclose,
    np.allclose: truths.allclose,
    np.array_equal: truths.array_equal,
    **covariances.ROWS,
    **differences.ROWS,
    **gradients.ROWS,
    **histograms.ROWS,
    **interpolation.ROWS,
    **ordering.ROWS,
    **padding.ROWS,
    **piecewise.ROWS,
    **polynomials.ROWS,
    **quantiles.ROWS,
    **reductions.ROWS,
    **searching.ROWS,
    **sets.ROWS,
    **without_nans.ROWS,
    **sequences.ROWS,
    **linear_algebra.ROWS,
    **norms.ROWS,
    **solving.ROWS,
    **transcendental.ROWS,
    **transforms.ROWS,
    **real_transforms.ROWS,
    np.array_equiv: truths.array_equiv,
    np.flatnonzero: truths.flatnonzero,
    np.argwhere: truths.argwhere,
    np.trim_zeros: truths.trim_zeros,
    np.fix: elementwise.fix,
    **UNCOUNTED,
}


def call_function(function: Any, arguments: tuple[Any, ...], keywords: Mapping[str, Any]) -> Any:
    """What `__array_function__` is: the row of a function, or the refusal for one that has none."""
    if function not in FUNCTIONS:
        raise refusal(function)
    row = FUNCTIONS[function]
    unknown = [name for name in keywords if name not in _keywords_of(row)]
    if unknown and not _takes_any_keyword(row):
        name = function.__name__
        raise NotEmulatedError(f"{unknown[0]}= of numpy.{name}", f"{name} without it")
    return row(*arguments, **keywords)


@cache
def _keywords_of(row: Callable[..., Any]) -> frozenset[str]:
    return frozenset(signature(row).parameters)


@cache
def _takes_any_keyword(row: Callable[..., Any]) -> bool:
    """Whether keywords are passed on, to a function of the user's for example."""
    return any(parameter.kind is Parameter.VAR_KEYWORD for parameter in signature(row).parameters.values())
