"""numpy's functions that only move data: done by numpy itself on the encodings, and not counted.

A row names the parameters that it takes, as numpy calls them. None of them can look into an encoding: a dtype
or a rule of casting would, and so has no place here.
"""

from __future__ import annotations

from collections.abc import Callable
from inspect import Parameter, Signature
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from softfloat_py.errors import OperandError
from softfloat_py.numbers.array import FloatArray, encodings_for
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.operands import format_of
from softfloat_py.numbers.value_system import ValueSystem


def put(out: Any, result: Any) -> Any:
    """A result, in the array given for it: one of the same format, or of bools or integers for those."""
    if out is None:
        return result
    if not isinstance(out, FloatArray) and isinstance(result, Emulated):
        raise OperandError(f"out= needs an array of {result.format.name}, not {type(out).__name__}")
    out[...] = result
    return out


def _moves(function: Callable[..., Any], parameters: str) -> Callable[..., Any]:
    """A row with these parameters, in numpy's order, of which the first is moved; those after a star are
    given by name alone.
    """
    signature = Signature(list(map(_parameter, parameters.split())))
    moving = next(iter(signature.parameters))
    purpose = f"numpy.{function.__name__}"

    def moved(*arguments: Any, **keywords: Any) -> Any:
        given = signature.bind(*arguments, **keywords)
        named = given.arguments
        out = named.pop("out", None)
        fmt = format_of((named.get(moving),))
        named[moving] = _encodings_within(fmt, named[moving], purpose)
        return put(out, _emulated_again(fmt, function(*given.args, **given.kwargs)))

    moved.__signature__ = signature  # type: ignore[attr-defined]
    return moved


def _parameter(name: str) -> Parameter:
    kind = Parameter.KEYWORD_ONLY if name.startswith("*") else Parameter.POSITIONAL_OR_KEYWORD
    return Parameter(name.lstrip("*"), kind, default=None)


def _encodings_within(fmt: ValueSystem, value: Any, purpose: str) -> Any:
    if isinstance(value, list | tuple):
        return [_encodings_within(fmt, element, purpose) for element in value]
    return encodings_for(fmt, value, purpose)


def _emulated_again(fmt: ValueSystem, result: Any) -> Any:
    if isinstance(result, list | tuple):
        return type(result)(fmt.value_of(part) for part in result)
    return fmt.value_of(result)


MOVING: dict[Callable[..., Any], Callable[..., Any]] = {
    function: _moves(function, parameters)
    for function, parameters in (
        (np.concatenate, "arrays axis out"),
        (np.stack, "arrays axis out"),
        (np.vstack, "tup"),
        (np.hstack, "tup"),
        (np.dstack, "tup"),
        (np.column_stack, "tup"),
        (np.block, "arrays"),
        (np.reshape, "a shape order"),
        (np.ravel, "a order"),
        (np.resize, "a new_shape"),
        (np.transpose, "a axes"),
        (np.matrix_transpose, "x"),
        (np.linalg.matrix_transpose, "x"),
        (np.copy, "a order"),
        (np.broadcast_to, "array shape"),
        (np.squeeze, "a axis"),
        (np.expand_dims, "a axis"),
        (np.flip, "m axis"),
        (np.fliplr, "m"),
        (np.flipud, "m"),
        (np.rot90, "m k axes"),
        (np.roll, "a shift axis"),
        (np.rollaxis, "a axis start"),
        (np.moveaxis, "a source destination"),
        (np.swapaxes, "a axis1 axis2"),
        (np.take, "a indices axis out mode"),
        (np.take_along_axis, "arr indices axis"),
        (np.delete, "arr obj axis"),
        (np.repeat, "a repeats axis"),
        (np.tile, "A reps"),
        (np.split, "ary indices_or_sections axis"),
        (np.array_split, "ary indices_or_sections axis"),
        (np.hsplit, "ary indices_or_sections"),
        (np.vsplit, "ary indices_or_sections"),
        (np.dsplit, "ary indices_or_sections"),
        (np.diagonal, "a offset axis1 axis2"),
        (np.linalg.diagonal, "x *offset"),
        (np.diag, "v k"),
        (np.diagflat, "v k"),
        (np.tril, "m k"),
        (np.triu, "m k"),
        (sliding_window_view, "x window_shape axis"),
        *(((np.unstack, "x *axis"),) if hasattr(np, "unstack") else ()),  # numpy 2.1
    )
}
