"""How each kind of step is written for arrays, and in which dtypes."""

# ruff: noqa: D102 (the words are explained in `routines.algebra`)

from __future__ import annotations

from collections.abc import Sequence

from softfloat_py.engines.arrays.support import dtype_of, name_of_dtype
from softfloat_py.engines.python_text import PythonText
from softfloat_py.integer_form.grammar import Step, Variable
from softfloat_py.routines.algebra import ones
from softfloat_py.routines.steps import Computed, Feature
from softfloat_py.routines.tables import Table

_CONTAINERS = (8, 16, 32, 64)
WIDEST_INDEX = 32  # bits of an index into a table; numpy takes none of 64 unsigned bits


def dtype_name(width: int) -> str:
    """A dtype by name. A wider value only occurs where its lowest 64 bits are all that is used of it."""
    return name_of_dtype(dtype_of(min(width, 64)))


class NumpyText(PythonText):
    """Expressions of arrays in the dtype of `working_width`; `tables` stand in the code in this order."""

    def __init__(self, tables: Sequence[Table]) -> None:
        self.tables = tables

    def add_wrapping(self, x: str, y: str, width: int) -> str:
        return _masked(self.add(x, y), width)

    def subtract_wrapping(self, x: str, y: str, width: int) -> str:
        return _masked(self.subtract(x, y), width)

    def complement(self, x: str, width: int) -> str:
        return f"(~{x})" if width == 1 else super().complement(x, width)

    def lowest(self, x: str, width: int) -> str:
        return _masked(x, width)

    def raise_by(self, x: str, width: int, places: int) -> str:
        return f"({x} << {places})"

    def lower_by(self, x: str, width: int, places: int) -> str:
        return f"({x} >> {places})"

    def choose(self, condition: str, x: str, y: str, width: int) -> str:
        return f"merge(spread({condition}, {dtype_name(width)}), {x}, {y})"

    def leading_zeros(self, x: str, width: int) -> str:
        return f"leading_zeros({x}, {width})"

    def quotient(self, x: str, y: str) -> str:
        return f"quotient({x}, {y})"

    def entry(self, table: Table, index: str) -> str:
        # What elements on the wrong side of an `if` have as an index may lie outside of the table.
        return f"tables[{self.tables.index(table)}].take({index}, mode='clip')"


def _masked(expression: str, width: int) -> str:
    """Wrapping arithmetic: numpy's own wrapping does where the width fills the dtype."""
    return expression if width in _CONTAINERS else f"({expression} & {ones(width):#x})"


def working_width(step: Step) -> int:
    """The width whose dtype a step is computed in."""
    width = _width_of_values(step)
    # What numpy computes on truths as on numbers of one bit; otherwise truths become numbers first.
    on_truths = step.kind.bitwise or step.kind.counted_as == "compare"
    return width if on_truths else max(width, 2)


def _width_of_values(step: Step) -> int:
    """The width that the row says, constants left aside."""
    match step.kind.computed_in:
        case Computed.RESULT | Computed.OWN:
            return step.target.width
        case Computed.FIRST if isinstance(step.immediate, Table):
            return min(step.operands[0].width, WIDEST_INDEX)
        case Computed.FIRST:
            return step.operands[0].width
        case Computed.WIDEST:
            widest = max(_variable_widths(step))
            # numpy compares numbers with constants of any size, but truths only with truths.
            compared = step.kind.counted_as == "compare" and widest > 1
            constants_count = not (compared or step.kind.bitwise)
            return max(operand.width for operand in step.operands) if constants_count else widest


def _variable_widths(step: Step) -> list[int]:
    return [operand.width for operand in step.operands if isinstance(operand, Variable)]


def delivered_dtype(step: Step, width: int) -> str:
    """The dtype that comes out of a step computed in the dtype of a width."""
    if step.kind.counted_as == "compare":
        return dtype_name(1)
    if isinstance(step.immediate, Table):
        return dtype_name(step.target.width)
    return "uint8" if step.kind.feature is Feature.RESULT else dtype_name(width)
