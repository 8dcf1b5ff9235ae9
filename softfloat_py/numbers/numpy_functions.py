"""numpy's functions on emulated values: a row for each that there is, a refusal for all others.

Element-wise functions are the operations of the table. Reductions go element by element in index order, as
the C loop on the target would. What only moves data is done by numpy itself on the encodings, not counted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from inspect import signature
from typing import Any

import numpy as np

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.formats import Format
from softfloat_py.numbers import reductions
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.array_constants import storage
from softfloat_py.numbers.constants import constant
from softfloat_py.numbers.operands import Emulated, bits_beside, combined, format_of, of_bits
from softfloat_py.operations import OPERATIONS, Operation

MULTIPLICATION, DIVISION = OPERATIONS["multiplication"], OPERATIONS["division"]
# What to write instead of functions that have no row.
POLYNOMIAL = "addition and multiplication, for example in a polynomial"
REMAINDER = "division, convert_to_integer, multiplication and subtraction"
ANYTHING_ELSE = "the operations of the standard, such as addition, division or square_root"
NEAREST = {
    "mean": "sum and division",
    "average": "dot, sum and division",
    "var": "sum, multiplication and division",
    "std": "sum, multiplication, division and square_root",
    "norm": "dot and square_root",
    "power": "multiplication, or square_root",
    "float_power": "multiplication, or square_root",
    "cbrt": "square_root",
    "floor_divide": "division, then convert_to_integer",
    "hypot": "multiplication, addition and square_root",
    "sign": "signbit, or comparisons",
    "clip": "maximum and minimum",
    "fmax": "maximum",
    "fmin": "minimum",
    "einsum": "matmul, or multiplication and sum",
    "tensordot": "matmul, or multiplication and sum",
    "diff": "subtraction",
    **dict.fromkeys(("remainder", "fmod", "divmod"), REMAINDER),
    **dict.fromkeys(("floor", "ceil", "trunc", "rint", "round"), "convert_to_integer with a rounding"),
    **dict.fromkeys(("exp", "exp2", "expm1", "log", "log2", "log10", "log1p"), POLYNOMIAL),
    **dict.fromkeys(("sin", "cos", "tan", "arcsin", "arccos", "arctan", "sinh", "cosh", "tanh"), POLYNOMIAL),
}


def refusal(function: Callable[..., Any]) -> NotEmulatedError:
    """The error for a function without a row, naming the nearest that has one."""
    module = getattr(function, "__module__", None) or "numpy"
    return NotEmulatedError(f"{module}.{function.__name__}", NEAREST.get(function.__name__, ANYTHING_ELSE))


# -- element-wise functions -------------------------------------------------------------------------

ELEMENTWISE: dict[str, Operation] = {row.ufunc: row for row in OPERATIONS.values() if row.ufunc}


def _operation(operation: Operation) -> Callable[..., Any]:
    def function(fmt: Format, *bits: Any) -> Any:
        return combined(operation, fmt, bits)

    return function


UFUNCS: dict[np.ufunc, Callable[..., Any]] = {
    **{getattr(np, name): _operation(operation) for name, operation in ELEMENTWISE.items()},
    np.fabs: _operation(OPERATIONS["absolute"]),
    np.positive: lambda fmt, x: of_bits(fmt, x if isinstance(x, int) else x.copy()),
    np.square: lambda fmt, x: combined(MULTIPLICATION, fmt, (x, x)),
    np.reciprocal: lambda fmt, x: combined(DIVISION, fmt, (constant(fmt, 1), x)),
}


def call_ufunc(ufunc: np.ufunc, method: str, inputs: tuple[Any, ...], keywords: Mapping[str, Any]) -> Any:
    """What `__array_ufunc__` is: an element-wise function, or its `reduce` or `accumulate`."""
    if ufunc is np.matmul and method == "__call__":
        return call_function(np.matmul, inputs, keywords)
    if ufunc not in UFUNCS:
        raise refusal(ufunc)
    if method in ("reduce", "accumulate"):
        return _call_reduction(ufunc, method, inputs, dict(keywords))
    if method != "__call__":
        name = f"numpy.{ufunc.__name__}"
        raise NotEmulatedError(f"{name}.{method}", f"{name} on arrays that broadcast")
    options = dict(keywords)
    (out,) = options.pop("out", (None,))
    where = options.pop("where", True)
    if options:
        raise NotEmulatedError(
            f"{next(iter(options))}= of numpy.{ufunc.__name__}", "astype, which is counted"
        )
    fmt = format_of(inputs if out is None else (*inputs, out))
    bits = [bits_beside(fmt, value, f"numpy.{ufunc.__name__}") for value in inputs]
    if any(operand is NotImplemented for operand in bits):
        return NotImplemented
    if where is not True:
        return _call_where(ufunc, fmt, bits, where, out)
    result = UFUNCS[ufunc](fmt, *bits)
    return result if out is None else _put(out, result)


def _call_where(ufunc: np.ufunc, fmt: Format, bits: list[Any], where: Any, out: Any) -> Any:
    """The function on the elements that a mask names, which alone are computed and counted."""
    if out is None:
        raise OperandError(f"where= of numpy.{ufunc.__name__} needs out=, which keeps what is not computed")
    mask = np.broadcast_to(where, out.shape)
    chosen = [np.broadcast_to(np.asarray(operand, storage(fmt)), out.shape)[mask] for operand in bits]
    out[mask] = UFUNCS[ufunc](fmt, *chosen)
    return out


def _put(out: Any, result: Any) -> Any:
    """A result in the array given for it: one of the same format, or of bools for truths."""
    if not isinstance(out, FloatArray) and isinstance(result, Emulated):
        raise OperandError(f"out= needs an array of {result.format.name}, not {type(out).__name__}")
    out[...] = result
    return out


# -- reductions ---------------------------------------------------------------------------------------


def _call_reduction(ufunc: Any, method: str, inputs: tuple[Any, ...], options: dict[str, Any]) -> Any:
    if ufunc not in reductions.REDUCED_BY:
        raise NotEmulatedError(
            f"numpy.{ufunc.__name__}.{method}", "add.reduce, multiply.reduce, maximum.reduce"
        )
    (out,) = options.pop("out", None) or (None,)
    axis, keepdims = options.pop("axis", 0), options.pop("keepdims", False)
    unknown = [name for name, value in options.items() if value is not None]
    if unknown:
        raise NotEmulatedError(f"{unknown[0]}= of numpy.{ufunc.__name__}.{method}", "axis= and keepdims=")
    if method == "accumulate":
        result = reductions.accumulated(ufunc, inputs[0], axis)
    else:
        result = reductions.reduced(ufunc, inputs[0], axis, keepdims)
    return result if out is None else _put(out, result)


def _reduction(ufunc: np.ufunc) -> Callable[..., Any]:
    def function(a: Any, axis: Any = None, *, keepdims: bool = False) -> Any:
        return reductions.reduced(ufunc, a, axis, keepdims)

    return function


# -- making and moving ------------------------------------------------------------------------------


def _moves(function: Callable[..., Any], *places: int) -> Callable[..., Any]:
    """A function that only moves data, done by numpy on encodings; values are the arguments in `places`."""

    def moved(*arguments: Any, **keywords: Any) -> Any:
        fmt = format_of(tuple(arguments[place] for place in places if place < len(arguments)))
        positional = [
            _encodings_within(fmt, argument, f"numpy.{function.__name__}") if place in places else argument
            for place, argument in enumerate(arguments)
        ]
        return _emulated_again(fmt, function(*positional, **keywords))

    return moved


def _encodings_within(fmt: Format, value: Any, purpose: str) -> Any:
    if isinstance(value, list | tuple):
        return [_encodings_within(fmt, element, purpose) for element in value]
    return np.asarray(encodings_for(fmt, value, purpose), storage(fmt))


def _emulated_again(fmt: Format, result: Any) -> Any:
    if isinstance(result, list):
        return [of_bits(fmt, part) for part in result]
    return of_bits(fmt, result)


def _full_like(a: FloatArray, fill_value: Any, *, shape: Any = None) -> FloatArray:
    bits = np.empty(a.shape if shape is None else shape, storage(a.format))
    bits[...] = encodings_for(a.format, fill_value, "full_like")
    return FloatArray._of(a.format, bits)


def _array_equal(a1: Any, a2: Any) -> bool:
    """Whether shapes and elements are equal; elements are compared, and counted, only if the shapes are."""
    return np.shape(a1) == np.shape(a2) and bool(np.all(np.equal(a1, a2)))


# Functions that only move data.
MOVING: dict[Callable[..., Any], Callable[..., Any]] = {
    np.where: _moves(np.where, 1, 2),
    **{
        function: _moves(function, 0)
        for function in (
            np.concatenate, np.stack, np.vstack, np.hstack, np.reshape, np.ravel, np.transpose, np.copy,
            np.broadcast_to, np.squeeze, np.expand_dims, np.flip, np.roll, np.moveaxis, np.swapaxes, np.take,
            np.repeat, np.tile, np.split, np.diagonal,
        )
    },
}  # fmt: skip

FUNCTIONS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.sum: _reduction(np.add),
    np.prod: _reduction(np.multiply),
    np.max: _reduction(np.maximum),
    np.amax: _reduction(np.maximum),
    np.min: _reduction(np.minimum),
    np.amin: _reduction(np.minimum),
    np.cumsum: reductions.running_sums,
    np.dot: reductions.dot,
    np.vdot: reductions.vdot,
    np.inner: reductions.inner,
    np.matmul: reductions.matmul,
    np.array_equal: _array_equal,
    np.shape: lambda a: np.shape(a._bits),
    np.ndim: lambda a: np.ndim(a._bits),
    np.size: lambda a, axis=None: np.size(a._bits, axis),
    np.zeros_like: lambda a, *, shape=None: _full_like(a, 0, shape=shape),
    np.ones_like: lambda a, *, shape=None: _full_like(a, 1, shape=shape),
    np.empty_like: lambda prototype, *, shape=None: _full_like(prototype, 0, shape=shape),
    np.full_like: _full_like,
    **MOVING,
}


def call_function(function: Any, arguments: tuple[Any, ...], keywords: Mapping[str, Any]) -> Any:
    """What `__array_function__` is: the row of a function, or the refusal for one that has none."""
    if function not in FUNCTIONS:
        raise refusal(function)
    row = FUNCTIONS[function]
    unknown = [name for name in keywords if name not in _keywords_of(row)]
    if unknown and function not in MOVING:
        name = function.__name__
        raise NotEmulatedError(f"{unknown[0]}= of numpy.{name}", f"{name} without it")
    return row(*arguments, **keywords)


@cache
def _keywords_of(row: Callable[..., Any]) -> frozenset[str]:
    return frozenset(signature(row).parameters)
