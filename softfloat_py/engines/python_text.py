"""Steps as the text of Python expressions on ints: the algebra of the plain engine."""

# ruff: noqa: D102 (the words are explained in `routines.algebra`)

from __future__ import annotations

from collections.abc import Sequence

from softfloat_py.integer_form.grammar import Step
from softfloat_py.routines.algebra import Algebra, ones
from softfloat_py.routines.tables import Table, base_address


class PythonText:
    """Expressions of ints, each of which can stand beside any operator."""

    def add(self, x: str, y: str) -> str:
        return f"({x} + {y})"

    def add_wrapping(self, x: str, y: str, width: int) -> str:
        return f"({x} + {y} & {ones(width):#x})"

    def subtract(self, x: str, y: str) -> str:
        return f"({x} - {y})"

    def subtract_wrapping(self, x: str, y: str, width: int) -> str:
        return f"({x} - {y} & {ones(width):#x})"

    def multiply(self, x: str, y: str) -> str:
        return f"({x} * {y})"

    def quotient(self, x: str, y: str) -> str:
        return f"({x} // {y})"

    def conjunction(self, x: str, y: str) -> str:
        return f"({x} & {y})"

    def disjunction(self, x: str, y: str) -> str:
        return f"({x} | {y})"

    def difference(self, x: str, y: str) -> str:
        return f"({x} ^ {y})"

    def complement(self, x: str, width: int) -> str:
        return f"({x} ^ {ones(width):#x})"

    def lowest(self, x: str, width: int) -> str:
        return f"({x} & {ones(width):#x})"

    def raise_by(self, x: str, width: int, places: int) -> str:
        # A conditional of small constants is quicker than shifting a truth.
        return f"({1 << places:#x} if {x} else 0)" if width == 1 else f"({x} << {places})"

    def lower_by(self, x: str, width: int, places: int) -> str:
        # Where only the top bit is left, comparing is quicker than shifting.
        return f"({x} >= {1 << places:#x})" if width - places <= 1 else f"({x} >> {places})"

    def shift_left(self, x: str, distance: str, width: int) -> str:
        return f"({x} << {distance})"

    def shift_right(self, x: str, distance: str) -> str:
        return f"({x} >> {distance})"

    def equal(self, x: str, y: str) -> str:
        return f"({x} == {y})"

    def not_equal(self, x: str, y: str) -> str:
        return f"({x} != {y})"

    def less(self, x: str, y: str) -> str:
        return f"({x} < {y})"

    def less_or_equal(self, x: str, y: str) -> str:
        return f"({x} <= {y})"

    def choose(self, condition: str, x: str, y: str, width: int) -> str:
        return f"({x} if {condition} else {y})"

    def leading_zeros(self, x: str, width: int) -> str:
        return f"({width} - {x}.bit_length())"

    def entry(self, table: Table, index: str) -> str:
        return f"{self.entries(table)}[{index}]"

    def entry_at(self, table: Table, address: str, width: int) -> str:
        return f"{self.entries(table)}[({address} - {base_address(width):#x}) // {table.stride}]"

    def entries(self, table: Table) -> str:
        """A table as a tuple."""
        return f"({', '.join(f'{entry:#x}' for entry in table.entries)},)"


class ClippedText(PythonText):
    """As `PythonText`, for what may be computed where nobody is concerned: the last entry stands for those
    that a table has not, and a divisor of one for that of zero.
    """

    def quotient(self, x: str, y: str) -> str:
        return f"({x} // max({y}, 1))"

    def entry(self, table: Table, index: str) -> str:
        return f"{self.entries(table)}[min({index}, {len(table.entries) - 1})]"


def written(algebra: Algebra[str], operands: Sequence[str], step: Step) -> str:
    """A step as text, from its operands as text."""
    widths = [operand.width for operand in step.operands]
    text: str = step.kind.meaning(algebra, operands, widths, step.immediate)
    return text
