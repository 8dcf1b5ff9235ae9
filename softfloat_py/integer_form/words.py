"""What the words and operators of a routine become: steps, or a value where all is fixed already."""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Hashable
from functools import lru_cache
from inspect import isfunction
from typing import Any

from softfloat_py.integer_form.builder import Builder, Fault, as_operand
from softfloat_py.integer_form.calling import leaves
from softfloat_py.integer_form.grammar import Constant, Operand, Variable
from softfloat_py.integer_form.meeting import usable
from softfloat_py.routines import language, lowering_words, phases
from softfloat_py.routines.steps import STEPS
from softfloat_py.routines.tables import table_of

_BINARY: dict[type[ast.operator], tuple[str, Callable[[Any, Any], Any]]] = {
    ast.Add: ("add", operator.add),
    ast.Sub: ("subtract", operator.sub),
    ast.Mult: ("multiply", operator.mul),
    ast.BitAnd: ("and", operator.and_),
    ast.BitOr: ("or", operator.or_),
    ast.BitXor: ("xor", operator.xor),
    ast.LShift: ("shift_left", operator.lshift),
    ast.RShift: ("shift_right", operator.rshift),
    ast.FloorDiv: ("", operator.floordiv),
    ast.Mod: ("", operator.mod),
    ast.Pow: ("", operator.pow),
}
_UNARY: dict[type[ast.unaryop], Callable[[Any], Any]] = {
    ast.Not: operator.not_,
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
    ast.Invert: operator.invert,
}
_COMPARISONS: dict[type[ast.cmpop], tuple[str, bool, Callable[[Any, Any], Any]]] = {
    # kind, whether the operands change places, meaning for what is fixed
    ast.Eq: ("equal", False, operator.eq),
    ast.NotEq: ("not_equal", False, operator.ne),
    ast.Lt: ("less", False, operator.lt),
    ast.LtE: ("less_or_equal", False, operator.le),
    ast.Gt: ("less", True, operator.gt),
    ast.GtE: ("less_or_equal", True, operator.ge),
    ast.Is: ("", False, operator.is_),
    ast.IsNot: ("", False, operator.is_not),
}


def _is_fixed(value: Any) -> bool:
    return not isinstance(value, Variable | Constant)


def has_bits(value: Any) -> bool:
    """Whether a value is bits, or a tuple that has some."""
    return not all(_is_fixed(usable(part)) for part in leaves(value))


def binary(builder: Builder, node: ast.operator, left: Any, right: Any) -> Any:
    """left op right."""
    name, meaning = _BINARY.get(type(node), ("", None))
    if meaning is not None and _is_fixed(left) and _is_fixed(right):
        return meaning(left, right)
    if not name:
        raise Fault(f"bits have no operator {type(node).__name__}")
    if STEPS[name].is_shift:
        return _shift(builder, name, left, right)
    return builder.emit(name, [left, right])


def _shift(builder: Builder, name: str, value: Any, distance: Any) -> Operand:
    if isinstance(distance, int):
        return builder.emit(name, [value], distance)
    if name == "shift_left":
        raise Fault("a shift left by a variable distance needs a stated width: shift_left(x, n, width)")
    return builder.emit("shift_right_variable", [value, distance])


def unary(builder: Builder, node: ast.unaryop, operand: Any) -> Any:
    """~x of bits; any of Python's signs before what is fixed."""
    if _is_fixed(operand):
        return _UNARY[type(node)](operand)
    if not isinstance(node, ast.Invert):
        raise Fault(f"bits have no operator {type(node).__name__}; write ~x, or compare with zero")
    return builder.emit("not", [operand])


def comparison(builder: Builder, node: ast.cmpop, left: Any, right: Any) -> Any:
    """left op right, one bit."""
    name, swapped, meaning = _COMPARISONS.get(type(node), ("", False, None))
    if meaning is not None and not has_bits((left, right)):
        return meaning(left, right)
    if not name:
        raise Fault(f"bits have no comparison {type(node).__name__}")
    if isinstance(left, tuple) or isinstance(right, tuple):
        raise Fault("tuples that have bits cannot be compared, only part by part")
    return builder.emit(name, [right, left] if swapped else [left, right])


def _phase(builder: Builder, name: str) -> None:
    builder.phase = phases.explained(name)


def _word(name: str) -> Callable[..., Operand]:
    return lambda builder, *operands: builder.emit(name, operands)


def _sized_word(name: str) -> Callable[..., Operand]:
    return lambda builder, *operands_and_width: builder.emit(
        name, operands_and_width[:-1], operands_and_width[-1]
    )


WORDS: dict[Hashable, Callable[..., Any]] = {
    language.phase: _phase,
    language.constant: lambda builder, value, width: Constant(value, width),
    language.select: _word("select"),
    language.move: _word("move"),
    language.with_point: lambda builder, x, places: builder.with_point(as_operand(x), places),
    language.load: _word("load"),
    language.store: _word("store"),
    language.look_up: lambda builder, table, index: builder.emit("look_up", [index], table_of(table)),
    language.count_leading_zeros: _word("count_leading_zeros"),
    language.resize: _sized_word("resize"),
    language.shift_left: _sized_word("shift_left_variable"),
    language.divide: _sized_word("divide"),
    language.add_modulo: _sized_word("add_modulo"),
    language.subtract_modulo: _sized_word("subtract_modulo"),
    lowering_words.low_word: _sized_word("low_word"),
    lowering_words.high_word: _sized_word("high_word"),
    lowering_words.join_words: _word("join_words"),
    lowering_words.load_at: lambda builder, table, address: builder.emit("load_at", [address], table),
    lowering_words.add_with_carry: _word("add_with_carry"),
    lowering_words.subtract_with_borrow: _word("subtract_with_borrow"),
    lowering_words.shift_left_through_carry: _word("shift_left_through_carry"),
    lowering_words.shift_right_through_carry: _word("shift_right_through_carry"),
}


def is_routine(callee: Any) -> bool:
    """Whether a callee is to be read too: a plain function that takes or gives Bits."""
    return isfunction(callee) and callee not in WORDS and _speaks_of_bits(callee)


@lru_cache(maxsize=1024)
def _speaks_of_bits(callee: Callable[..., Any]) -> bool:
    return any(
        "Bits" in str(kind) or _holds_bits(callee.__globals__.get(str(kind)))
        for kind in callee.__annotations__.values()
    )


def _holds_bits(kind: Any) -> bool:
    """Whether an annotation names a named tuple that holds Bits."""
    return any("Bits" in str(part) for part in getattr(kind, "__annotations__", {}).values())


def is_called(routine: Any) -> bool:
    """Whether a routine asks to be called, where any other is written out."""
    return getattr(routine, "is_called", False)


def may_hold_operands(callee: Any) -> bool:
    """Whether a callee only keeps what it is given: a tuple, a named one, or len()."""
    return callee is len or (isinstance(callee, type) and issubclass(callee, tuple))
