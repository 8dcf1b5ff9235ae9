"""How each kind of step is written for arrays, and in which dtypes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from softfloat_py.engines.arrays.support import dtype_of, name_of_dtype
from softfloat_py.integer_form.grammar import Step, Variable

_CONTAINERS = (8, 16, 32, 64)
WIDEST_INDEX = 32  # bits of an index into a table; numpy takes none of 64 unsigned bits


def dtype_name(width: int) -> str:
    """A dtype by name. A wider value only occurs where its lowest 64 bits are all that is used of it."""
    return name_of_dtype(dtype_of(min(width, 64)))


def _masked(expression: str, width: int) -> str:
    """Wrapping arithmetic: numpy's own wrapping does where the width fills the dtype."""
    return expression if width in _CONTAINERS else f"({expression} & {(1 << width) - 1:#x})"


def _logic(operator: str) -> Callable[[Sequence[str], Step], str]:
    return lambda o, s: f"({o[0]} {operator} {o[1]})"


# How each kind is written for arrays. Operands come in the dtype that `working_width` says.
SPELLINGS: dict[str, Callable[[Sequence[str], Step], str]] = {
    "add": _logic("+"),
    "subtract": _logic("-"),
    "add_modulo": lambda o, s: _masked(f"({o[0]} + {o[1]})", s.immediate),
    "subtract_modulo": lambda o, s: _masked(f"({o[0]} - {o[1]})", s.immediate),
    "multiply": _logic("*"),
    "and": _logic("&"),
    "or": _logic("|"),
    "xor": _logic("^"),
    "not": lambda o, s: f"(~{o[0]})" if s.target.width == 1 else f"({o[0]} ^ {(1 << s.target.width) - 1:#x})",
    "shift_left": lambda o, s: f"({o[0]} << {s.immediate})",
    "shift_right": lambda o, s: f"({o[0]} >> {s.immediate})",
    "shift_left_variable": _logic("<<"),
    "shift_right_variable": _logic(">>"),
    "equal": _logic("=="),
    "not_equal": _logic("!="),
    "less": _logic("<"),
    "less_or_equal": _logic("<="),
    "select": lambda o, s: f"merge(spread({o[0]}, {dtype_name(s.target.width)}), {o[1]}, {o[2]})",
    "count_leading_zeros": lambda o, s: f"leading_zeros({o[0]}, {s.operands[0].width})",
    "move": lambda o, s: o[0],
    "load": lambda o, s: o[0],
    "store": lambda o, s: o[0],
    # What elements on the wrong side of an `if` have as an index may lie outside of the table.
    "look_up": lambda o, s: f"{o[1]}.take({o[0]}, mode='clip')",
    "resize": lambda o, s: o[0],
    "low_word": lambda o, s: _masked(o[0], s.immediate),
    "high_word": lambda o, s: f"({o[0]} >> {s.immediate})",
}


# Kinds that numpy computes on truths as on numbers of one bit; for the others truths become numbers first.
_ON_TRUTHS = {
    "and", "or", "xor", "not", "equal", "not_equal", "less", "less_or_equal", "select",
    "move", "load", "store", "resize",
}  # fmt: skip


def working_width(step: Step) -> int:
    """The width whose dtype a step is computed in."""
    width = _width_of_values(step)
    return width if step.kind.name in _ON_TRUTHS else max(width, 2)


def _width_of_values(step: Step) -> int:
    """The width of the values that a step is computed from, or of its result if that is wider."""
    widths = [operand.width for operand in step.operands]
    match step.kind.name:
        case "shift_right" | "shift_right_variable" | "high_word" | "low_word" | "count_leading_zeros":
            return widths[0]
        case "look_up":
            return min(widths[0], WIDEST_INDEX)
        case "and":
            return max(_variable_widths(step))
        case "equal" | "not_equal" | "less" | "less_or_equal":
            # numpy compares numbers with constants of any size, but truths only with truths.
            return max(_variable_widths(step) if max(_variable_widths(step)) > 1 else widths)
        case _:
            return step.target.width


def _variable_widths(step: Step) -> list[int]:
    return [operand.width for operand in step.operands if isinstance(operand, Variable)]


def delivered_dtype(step: Step, width: int) -> str:
    """The dtype that comes out of a step computed in the dtype of a width."""
    match step.kind.name:
        case "equal" | "not_equal" | "less" | "less_or_equal":
            return dtype_name(1)
        case "count_leading_zeros":
            return "uint8"
        case "look_up":
            return dtype_name(step.target.width)
        case _:
            return dtype_name(width)
