"""numpy's functions on complex values: a row for each that there is, a refusal for all others.

What only moves data is done on the real parts and on the imaginary ones, by the rows for real values.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from inspect import signature
from typing import Any

import numpy as np

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.applying import note_operand
from softfloat_py.numbers.complex import complex_arithmetic as arithmetic
from softfloat_py.numbers.complex.complex_arithmetic import Pair
from softfloat_py.numbers.complex.complex_array import ComplexArray
from softfloat_py.numbers.complex.complex_value import ComplexValue, combined, complex_of, pair_beside
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.makers import full
from softfloat_py.numbers.numpy_calls import real_transforms, transforms
from softfloat_py.numbers.numpy_calls.logical import truth
from softfloat_py.numbers.numpy_calls.moving import MOVING
from softfloat_py.numbers.numpy_calls.transcendental import angle_of_parts
from softfloat_py.numbers.value_system import ValueSystem

NEAREST = "+, -, *, /, abs and sum of complex values, or any function of their real and imaginary parts"

# -- element-wise functions -------------------------------------------------------------------------

UFUNCS: dict[np.ufunc, Callable[..., Any]] = {
    np.add: arithmetic.addition,
    np.subtract: arithmetic.subtraction,
    np.multiply: arithmetic.product,
    np.divide: arithmetic.quotient,
    np.negative: arithmetic.negation,
    np.positive: lambda x: Pair(+x.real, +x.imag),
    np.conjugate: arithmetic.conjugation,
    np.square: lambda x: arithmetic.product(x, x),
    np.absolute: arithmetic.magnitude,
    np.equal: arithmetic.equality,
    np.not_equal: arithmetic.inequality,
}


def call_ufunc(ufunc: np.ufunc, method: str, inputs: tuple[Any, ...], keywords: Mapping[str, Any]) -> Any:
    """What `__array_ufunc__` of complex values is: an element-wise function, or numpy.add.reduce."""
    name, options = f"numpy.{ufunc.__name__}", dict(keywords)
    (out,) = options.pop("out", (None,))
    reduces = ufunc is np.add and method == "reduce"
    if not reduces and (ufunc not in UFUNCS or method != "__call__"):
        raise refusal(ufunc, "" if method == "__call__" else f".{method}")
    axis, keepdims = (options.pop("axis", 0), options.pop("keepdims", False)) if reduces else (None, False)
    if options:
        raise NotEmulatedError(f"{next(iter(options))}= of {name} of complex values", f"{name} without it")
    if reduces:
        return _put(out, inputs[0].sum(axis, keepdims=keepdims))
    fmt = _format_of((*inputs, out))
    pairs = [pair_beside(fmt, value, name) for value in inputs]
    if any(pair is NotImplemented for pair in pairs):
        return NotImplemented
    for value in inputs:
        if not isinstance(value, Emulated | ComplexValue):
            note_operand(value)
    return _put(out, combined(UFUNCS[ufunc], *pairs))


def _put(out: Any, result: Any) -> Any:
    """A result, in the array given for it."""
    if out is None:
        return result
    if isinstance(result, ComplexValue) and not isinstance(out, ComplexArray):
        raise OperandError(f"out= needs a complex array of {result.format.name}, not {type(out).__name__}")
    out[...] = result
    return out


def refusal(function: Callable[..., Any], method: str = "") -> NotEmulatedError:
    """The error for a function that complex values have not."""
    module = getattr(function, "__module__", None) or "numpy"
    return NotEmulatedError(f"{module}.{function.__name__}{method} of complex values", NEAREST)


def _format_of(values: Any) -> Any:
    """The format of the first complex value, sequences searched."""
    for value in values:
        if isinstance(value, ComplexValue):
            return value.format
        if isinstance(value, list | tuple):
            try:
                return _format_of(value)
            except OperandError:
                continue
    raise OperandError("a complex value must stand where numpy's function has its values, without a keyword")


# -- making and moving ------------------------------------------------------------------------------


def _moved(function: Callable[..., Any], arguments: tuple[Any, ...], keywords: Mapping[str, Any]) -> Any:
    """A function that only moves data, on the real parts and on the imaginary ones."""
    places = (1, 2) if function is np.where else (0,)
    if function is np.where:
        arguments = (truth(arguments[0]), *arguments[1:])
    fmt = _format_of([arguments[place] for place in places if place < len(arguments)])

    def result_of(take: Callable[..., Any]) -> Any:
        parts = [
            take(fmt, argument, function.__name__) if place in places else argument
            for place, argument in enumerate(arguments)
        ]
        return function(*parts, **keywords)

    real, imag = result_of(_real_part), result_of(_imaginary_part)
    if isinstance(real, list | tuple):
        return type(real)(complex_of(*parts) for parts in zip(real, imag, strict=True))
    return complex_of(real, imag)


def _real_part(fmt: ValueSystem, value: Any, function: str) -> Any:
    if isinstance(value, list | tuple):
        return [_real_part(fmt, element, function) for element in value]
    return _pair(fmt, value, function).real


def _imaginary_part(fmt: ValueSystem, value: Any, function: str) -> Any:
    if isinstance(value, list | tuple):
        return [_imaginary_part(fmt, element, function) for element in value]
    pair = _pair(fmt, value, function)
    if pair.imag is not None:
        return pair.imag
    return full(fmt, np.shape(pair.real), 0) if np.ndim(pair.real) else fmt(0)


def _pair(fmt: ValueSystem, value: Any, function: str) -> Pair:
    pair = pair_beside(fmt, value, f"numpy.{function}")
    if pair is NotImplemented:
        raise OperandError(f"numpy.{function} of complex values of {fmt.name} needs numbers, not {value!r}")
    return Pair(*pair)


def _full_like(a: Any, fill_value: Any, *, shape: Any = None) -> ComplexArray:
    real = full(a.format, np.shape(a.real) if shape is None else shape, 0)
    array = ComplexArray._of(real, real.copy())
    array[...] = fill_value
    return array


FUNCTIONS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.sum: lambda a, axis=None, *, keepdims=False: a.sum(axis, keepdims=keepdims),
    np.real: lambda val: val.real,
    np.imag: lambda val: val.imag,
    np.angle: lambda z, deg=False: angle_of_parts(z.real, z.imag, deg),
    np.shape: lambda a: np.shape(a.real),
    np.ndim: lambda a: np.ndim(a.real),
    np.size: lambda a, axis=None: np.size(a.real, axis),
    np.zeros_like: lambda a, *, shape=None: _full_like(a, 0, shape=shape),
    np.ones_like: lambda a, *, shape=None: _full_like(a, 1, shape=shape),
    np.empty_like: lambda prototype, *, shape=None: _full_like(prototype, 0, shape=shape),
    np.full_like: _full_like,
    **transforms.ROWS,
    **real_transforms.ROWS,
}


def call_function(function: Any, arguments: tuple[Any, ...], keywords: Mapping[str, Any]) -> Any:
    """What `__array_function__` of complex values is: the row of a function, or the refusal."""
    if function in MOVING or function is np.where:
        return _moved(function, arguments, keywords)
    if function not in FUNCTIONS:
        raise refusal(function)
    row = FUNCTIONS[function]
    unknown = [name for name in keywords if name not in signature(row).parameters]
    if unknown:
        name = f"numpy.{function.__name__}"
        raise NotEmulatedError(f"{unknown[0]}= of {name} of complex values", f"{name} without it")
    return row(*arguments, **keywords)
