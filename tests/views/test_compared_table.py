"""The table of comparisons with compiled code."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from softfloat_py.pricing.compiler import CompiledBy
from softfloat_py.pricing.cost_model import CompiledCode, CostModel
from softfloat_py.pricing.figures import Document, Origin, Standing
from softfloat_py.views.compared_table import compared
from tests.pricing.invented_cpu import invented_cpu

MEASURED = Origin(Document("the buoy's board"), Standing.MEASURED)


def of(lowest: float, highest: float, **about: Any) -> CompiledCode:
    """A comparison."""
    return CompiledCode("the buoy's compiler", "sums", lowest, highest, MEASURED, **about)


def described_twice() -> CostModel:
    """A model of two compilers' code: one was compared throughout, of the other whole kernels alone."""
    described: dict[str, CostModel] = {}
    every = (
        of(0.9, 1.1),
        of(1, 1.25, kernels=True),
        of(0.75, 1, kernels=True, in_memory=True),
        of(2, 3, elementary=True),
    )
    first = replace(invented_cpu(), compared_with_compiled_code=every, described=described)
    other = replace(
        first,
        compiled_by=CompiledBy("shore-c", "the shore's compiler", "invented for tests"),
        compared_with_compiled_code=(of(0.5, 0.75, kernels=True),),
    )
    described |= {"buoy-c": first, "shore-c": other}
    return first


def test_each_compiler_has_a_line_with_what_was_compared() -> None:
    """Operations, kernels by either estimate and functions stand apart; what was not compared is a dash."""
    lines = compared([described_twice()], None).splitlines()

    assert ["invented", "buoy-c", "0.90 to 1.10", "1.00 to 1.25", "0.75 to 1.00", "2.00 to 3.00"] == cells(
        lines[1]
    )
    assert ["invented", "shore-c", "-", "0.50 to 0.75", "-", "-"] == cells(lines[2])


def cells(line: str) -> list[str]:
    """The cells of a line."""
    return [cell.strip() for cell in line.split("  ") if cell.strip()]


def test_one_compiler_is_shown_alone() -> None:
    """Asked for by its id, the others are left out."""
    text = compared([described_twice()], "shore-c")

    assert "shore-c" in text
    assert "buoy-c" not in text


def test_model_that_nobody_compared_has_no_line() -> None:
    """The headings are followed by the legend."""
    assert "invented" not in compared([invented_cpu()], None)
