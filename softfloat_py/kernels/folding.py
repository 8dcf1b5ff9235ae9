"""What a compiler computes: expressions of literals, constants of the module, and pure functions of these."""

from __future__ import annotations

import ast
import builtins
import warnings
from collections.abc import Mapping
from types import ModuleType
from typing import Any

from softfloat_py.kernels.rewriting import Folded
from softfloat_py.kernels.scopes import FOLDED_BUILTINS

PURE_MODULES = ("math", "cmath")


def folded_value(folded: Folded, names: Mapping[str, Any]) -> int | float | complex | None:
    """The value of a constant expression, by the host; None where it is none, or cannot be computed.

    `names` are those of the module as it runs on the host. What raises, such as a division by zero, is left
    to the run, which then meets it where the user wrote it.
    """
    expression = ast.fix_missing_locations(folded.expression)
    if not _is_pure(expression.body, names):
        return None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            value = eval(compile(expression, "<constant>", "eval"), dict(names))
    except Exception:
        return None
    return _number(value)


def _number(value: Any) -> int | float | complex | None:
    if hasattr(value, "dtype") and getattr(value, "ndim", None) == 0:
        value = value.item()
    return value if isinstance(value, int | float | complex) and not isinstance(value, bool) else None


def _is_pure(node: ast.AST, names: Mapping[str, Any]) -> bool:
    """Whether an expression is made of numbers and of functions that always give the same for them."""
    match node:
        case ast.Constant():
            return True
        case ast.Name() | ast.Attribute():
            return _number(_meaning(node, names)) is not None
        case ast.UnaryOp(operand=operand):
            return _is_pure(operand, names)
        case ast.BinOp(left=left, right=right):
            return _is_pure(left, names) and _is_pure(right, names)
        case ast.Call(func=function, args=arguments):
            known = _is_pure_function(_meaning(function, names))
            return known and all(_is_pure(argument, names) for argument in arguments)
    return False


def _meaning(node: ast.AST, names: Mapping[str, Any]) -> Any:
    """What a name, or an attribute of a module, means; None for attributes of anything that may change."""
    match node:
        case ast.Name(id=name):
            return names.get(name, getattr(builtins, name, None))
        case ast.Attribute(value=owner, attr=name):
            module = _meaning(owner, names)
            return getattr(module, name, None) if isinstance(module, ModuleType) else None
    return None


def _is_pure_function(function: Any) -> bool:
    if any(function is getattr(builtins, name) for name in FOLDED_BUILTINS):
        return True
    # An element-wise function of numpy is known by its signature, so that numpy need not be loaded here.
    return getattr(function, "__module__", None) in PURE_MODULES or type(function).__name__ == "ufunc"
