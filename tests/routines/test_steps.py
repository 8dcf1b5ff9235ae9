"""The rows of step kinds: results fit their widths, and counting names and measures them as it should."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from softfloat_py.routines.steps import COUNTED_KINDS, STEPS, constant_width
from softfloat_py.routines.tables import Table, base_address

IMMEDIATE_IS_A_DISTANCE = ("shift_left", "shift_right")
IMMEDIATE_IS_A_TABLE = ("look_up", "load_at")


@st.composite
def operands(draw: st.DrawFn, name: str) -> tuple[list[int], list[int], Any]:
    """Values, widths and an immediate that a kind's condition admits."""
    widths = [draw(st.integers(1, 12)) for _ in range(STEPS[name].arity)]
    if name == "select":
        widths[0] = 1
    if "carry" in name or "borrow" in name:
        widths = [max(widths)] * (len(widths) - 1) + [1]
    values = [draw(st.integers(0, (1 << width) - 1)) for width in widths]
    immediate: Any = draw(st.integers(0 if name in IMMEDIATE_IS_A_DISTANCE else 1, 24))
    if name in IMMEDIATE_IS_A_TABLE:
        immediate = Table(tuple(draw(st.lists(st.integers(0, 999), min_size=1))))
    if name == "load_at":
        widths = [16]
        values = [base_address(16) + immediate.stride * (values[0] % len(immediate.entries))]
    assume(STEPS[name].condition(values, widths, immediate))
    return values, widths, immediate


@pytest.mark.parametrize("name", STEPS)
@given(data=st.data())
def test_result_fits_its_width(name: str, data: st.DataObject) -> None:
    """Whatever a kind is given, its result is a non-negative number of the width its rule states."""
    kind = STEPS[name]
    values, widths, immediate = data.draw(operands(name))
    width = kind.width(widths, immediate)

    assert 0 <= kind.value(values, widths, immediate) < 1 << width


# The names of a tally's cells, in the order of reports.
KINDS = (
    "add", "subtract", "multiply", "divide", "and", "or", "xor", "not", "shift_left", "shift_right",
    "shift_left_variable", "shift_right_variable", "compare", "select", "count_leading_zeros",
    "move", "load", "store", "load_from_table",
    "add_with_carry", "subtract_with_borrow", "shift_left_through_carry", "shift_right_through_carry",
    "branch_taken", "branch_not_taken", "load_constant", "call", "return",
)  # fmt: skip


def test_counted_kinds_are_those_a_tally_knows() -> None:
    """Every kind that is counted has its place in the order of reports, and no other."""
    assert KINDS == COUNTED_KINDS


# Kind, operand widths, immediate and values; what it is counted as, at which width, with which feature.
COUNTED: list[tuple[str, list[int], Any, list[int], tuple[str | None, int, int | None]]] = [
    ("add", [24, 3], 0, [1, 1], ("add", 25, None)),
    ("add_modulo", [9, 9], 9, [1, 1], ("add", 9, None)),
    ("subtract_modulo", [9, 9], 9, [1, 1], ("subtract", 9, None)),
    ("less", [31, 8], 0, [1, 1], ("compare", 31, None)),
    ("select", [1, 8, 5], 0, [1, 1, 1], ("select", 8, None)),
    ("multiply", [24, 20], 0, [3, 0b1011], ("multiply", 24, 3)),
    ("divide", [28, 16], 13, [100, 7], ("divide", 28, None)),
    ("shift_left", [24], 3, [1], ("shift_left", 27, 3)),
    ("shift_right", [32], 23, [1], ("shift_right", 32, 23)),
    ("shift_left_variable", [20, 5], 27, [1, 6], ("shift_left_variable", 27, 6)),
    ("shift_right_variable", [27, 5], 0, [1, 26], ("shift_right_variable", 27, 26)),
    ("count_leading_zeros", [27], 0, [1], ("count_leading_zeros", 27, 26)),
    ("and", [32, 8], 0, [1, 1], ("and", 8, None)),
    ("look_up", [3], Table((5, 9), 68), [1], ("load", 68, None)),
]


@pytest.mark.parametrize(("name", "widths", "immediate", "values", "counted"), COUNTED)
def test_step_is_counted_as_its_row_says(
    name: str, widths: list[int], immediate: Any, values: list[int], counted: tuple[Any, ...]
) -> None:
    """A step's counted name, width and feature are those of the list of kinds."""
    kind = STEPS[name]
    result_width = kind.width(widths, immediate)
    feature = kind.feature_of(values, immediate, kind.value(values, widths, immediate))

    assert counted == (kind.counted_as, kind.counted_width(widths, result_width), feature)


@pytest.mark.parametrize("name", ["resize", "low_word", "high_word", "join_words"])
def test_saying_where_bits_are_costs_nothing(name: str) -> None:
    """Kinds that move no bits are not counted."""
    assert STEPS[name].counted_as is None


@pytest.mark.parametrize(("width", "value"), [(1, 0), (1, 1), (2, 2), (8, 255), (9, 256)])
def test_constant_is_as_wide_as_its_value(width: int, value: int) -> None:
    """A constant takes the bits its value needs, and one for zero."""
    assert width == constant_width(value)


# Lines of the guide's table for words that are no steps.
NO_STEPS = ("constant", "field", "concatenate", "signal", "phase", "with_point")


def test_the_guide_says_of_each_kind_what_its_row_says() -> None:
    """The table of words has the line of every row that routines may use, and no other step."""
    guide = files("softfloat_py").joinpath("guide/language.md").read_text(encoding="utf-8")
    table = [line for line in guide.split("| Write |")[1].splitlines() if line.startswith("| `")]
    of_steps = [line for line in table if not line.startswith(tuple(f"| `{word}(" for word in NO_STEPS))]

    assert sorted({kind.said.line for kind in STEPS.values() if kind.said}) == sorted(of_steps)
