"""Bounds as text, HTML and data: made-up figures come out where and as they belong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from html import unescape
from typing import Any

from softfloat_py.numbers.formats import binary16, binary32
from softfloat_py.operations import operation_named
from softfloat_py.options import LEAN
from softfloat_py.pricing.bounds import Cycles
from softfloat_py.pricing.cost_model import CompiledCode, CostModel
from softfloat_py.pricing.figures import Document, Origin, Standing
from softfloat_py.uses import Use, use_of
from softfloat_py.views.bounds_table import CAUTION, as_data, html, table, text
from tests.pricing.invented_cpu import invented_cpu


@dataclass(frozen=True)
class MadeUp:
    """What the views read of a bound, with figures that are easily recognised."""

    use: Use = field(default_factory=lambda: use_of(operation_named("addition"), binary32, LEAN))
    cpu: CostModel = field(default_factory=invented_cpu)
    name: str = "addition binary32"
    operation: str = "addition"
    estimated: Cycles = field(default_factory=lambda: Cycles(50.0, 1_000.0))
    best: float = 40.0
    typical: float = 333.4
    worst: float = 1_500.0
    compiled_ratios: tuple[float, float] | None = None


def made_up() -> list[Any]:
    """Bounds of two operations on a CPU that has been compared with compiled code."""
    origin = Origin(Document("an invented measurement"), Standing.MEASURED)
    ratios = CompiledCode("an invented compiler", "addition; binary32, lean", 0.8, 1.5, origin)
    cpu = replace(invented_cpu(), compared_with_compiled_code=(ratios,))
    conversion = use_of(operation_named("convert_format"), binary32, LEAN, binary16)
    return [
        MadeUp(cpu=cpu, compiled_ratios=(0.8, 1.5)),
        MadeUp(
            conversion,
            cpu,
            "convert_format binary32 to binary16",
            "convert_format",
            worst=22_000.0,
            compiled_ratios=(0.8, 1.5),
        ),
    ]


def test_text(golden: Callable[[str], None]) -> None:
    """A line an operation, what the figures mean, how far to trust them, and the caution."""
    golden(text(made_up()))


def test_nothing_measured_is_said() -> None:
    """On a CPU without comparisons, the figures are called what they are."""
    bounds: Any = [MadeUp()]

    assert "nothing has been measured on this CPU: best and worst are those of estimates" in table(bounds)
    assert "nothing has been measured" not in table(made_up())


def test_elementary_functions_are_trusted_by_themselves() -> None:
    """Beside a sum that was measured stands a function of which nothing was, and that is said."""
    function: Any = MadeUp(
        use_of(operation_named("exp"), binary32, LEAN), name="exp binary32", operation="exp"
    )
    shown = table([*made_up(), function])

    assert "best is the lowest estimate times 0.80, worst the highest times 1.50" in shown
    assert "no elementary function has been measured on this CPU: best and worst are those of est" in shown


def test_html_has_the_same_lines_and_the_caution() -> None:
    """A notebook shows the lines of the text."""
    shown = unescape(html(made_up()))

    assert all(line.strip() in shown for line in text(made_up()).splitlines())


def test_data_has_every_figure() -> None:
    """As data, each bound is a record, with its estimates and the ratios between them and best and worst."""
    first, second = as_data(made_up())["bounds"]

    assert (40.0, 333.4, 1_500.0) == (first["best"], first["typical"], first["worst"])
    assert (50.0, 1_000.0) == (first["lowest_estimate"], first["highest_estimate"])
    assert (0.8, 1.5) == first["compiled_over_estimate"]
    assert ("invented", "addition", "binary32", "lean") == tuple(
        first[key] for key in ("cpu", "operation", "format", "options")
    )
    assert (None, "binary16") == (first["parameter"], second["parameter"])
    assert CAUTION == as_data(made_up())["caution"]
