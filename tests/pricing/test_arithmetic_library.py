"""A table with stated cycles of calls of a library: read, priced beside the steps, and shown."""

from __future__ import annotations

from pathlib import Path

import pytest

import softfloat_py as sf
from softfloat_py.errors import CostModelError
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.figures import Standing
from softfloat_py.pricing.table_reader import cost_models
from softfloat_py.tally.tally import Tally
from softfloat_py.views import cpu_table
from softfloat_py.views.estimate_data import as_data

# A library invented for the tests.
BUOY = """
based_on = "cortex-m0plus"
title = "The buoy's microcontroller with the buoy's library"

[documents.list]
title = "List of the buoy's routines"
revision = "3"
tables = "page 2"

[documents.bench]
title = "Cycle counter readings"

[arithmetic_library]
title = "the buoy's routines"

[arithmetic_library.operations.binary32]
addition = { cycles = 90, source = "list", standing = "published" }
comparisons = { cycles = 30, source = "bench", standing = "measured" }
fused_multiply_add = { cycles = 400, source = "bench", standing = "measured" }
"""

ADDITION = ("addition", "binary32")
LESS = ("compare_signaling_less", "binary32")
ROOT = ("square_root", "binary32")


def model_in(tmp_path: Path, text: str = BUOY) -> CostModel:
    """The model in a file with this text."""
    path = tmp_path / "buoy.toml"
    path.write_text(text, encoding="utf-8")
    return sf.load_cost_model(path)


@pytest.fixture(name="model")
def _model(tmp_path: Path) -> CostModel:
    return model_in(tmp_path)


def kernel() -> Tally:
    """Three additions, two comparisons, a root; and an addition in another format."""
    x, y = sf.binary32(1.5), sf.binary32(0.25)
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        for _ in range(3):
            x = x + y
        assert y < x
        assert not x < y
        sf.square_root(x)
        sf.addition(sf.binary16(1.5), sf.binary16(0.25))
    return tally


def test_figures_are_read_with_their_sources(model: CostModel) -> None:
    """Cycles by operation and format, comparisons under one figure, nothing for what is not listed."""
    library = model.arithmetic_library

    assert library is not None
    assert "the buoy's routines" == library.title
    assert [90, 30, None, None] == [
        library.cycles(*call) for call in (ADDITION, LESS, ROOT, ("addition", "binary16"))
    ]
    origin = library.operations["binary32"]["addition"].origin
    assert ("List of the buoy's routines", Standing.PUBLISHED) == (origin.document.title, origin.standing)


def test_estimate_has_both_prices(model: CostModel) -> None:
    """By calls, three additions take 3 x 90, two comparisons 2 x 30; by steps, as much as without library."""
    tally = kernel()
    est = tally.estimate(model)

    assert {ADDITION: 3 * 90, LESS: 2 * 30} == est.by_calls
    assert {ROOT: 1, ("addition", "binary16"): 1} == est.calls_without_figure
    assert tally.estimate("cortex-m0plus").by_operation == pytest.approx(est.by_operation)


def test_report_shows_both_prices(model: CostModel) -> None:
    """A section has both, and names what is in neither sum."""
    est = kernel().estimate(model)
    section = est.details().partition("By calls of the buoy's routines")[2]
    by_steps = est.by_operation[ADDITION] + est.by_operation[LESS]

    (total,) = [line.split() for line in section.splitlines() if "all these" in line]
    assert ["all", "these", "330", f"{by_steps:.0f}"] == total
    assert "without a figure, and in neither sum: square_root binary32, 1 call" in section
    assert "without a figure, and in neither sum: addition binary16, 1 call" in section


def test_data_has_both_prices(model: CostModel) -> None:
    """As data, both are lists of records."""
    data = as_data(kernel().estimate(model))

    assert {"operation": "addition", "format": "binary32", "cycles": 270} in data["by_calls"]
    assert {"operation": "square_root", "format": "binary32", "calls": 1} in data["calls_without_figure"]


def test_cpu_report_shows_the_figures(model: CostModel) -> None:
    """Every figure of the library is listed with its standing."""
    lines = [" ".join(line.split()) for line in cpu_table.figures(model).splitlines()]

    assert any(line.startswith("library addition binary32 90 ") and "published" in line for line in lines)
    assert any(line.startswith("library comparisons binary32 30 ") and "measured" in line for line in lines)
    assert "the buoy's routines" in lines


def test_without_a_library_nothing_is_shown() -> None:
    """Models that come along state no figures of a library, and their reports have no such section."""
    est = kernel().estimate("cortex-m0plus")

    assert [] == [name for name in cost_models() if sf.cost_model(name).arithmetic_library is not None]
    assert ({}, {}) == (est.by_calls, est.calls_without_figure)
    assert "By calls of" not in est.details()


FAULTS = {
    "no title": (
        'title = "the buoy\'s routines"',
        "",
        "arithmetic_library.title must be a text that is not empty, and is missing",
    ),
    "unknown operation": (
        "addition =",
        "adition =",
        "arithmetic_library.operations.binary32.adition is not a key that belongs here; did you mean 'add",
    ),
    "unknown format": (
        "operations.binary32",
        "operations.binary31",
        "arithmetic_library.operations.binary31 is not a key that belongs here; did you mean 'binary",
    ),
    "no source": (
        'cycles = 90, source = "list"',
        "cycles = 90",
        "arithmetic_library.operations.binary32.addition.source must be",
    ),
    "negative": (
        "cycles = 90",
        "cycles = -90",
        "arithmetic_library.operations.binary32.addition.cycles must be 0 or more, not -90",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_faults_are_reported_with_their_keys(fault: str, tmp_path: Path) -> None:
    """What is missing, misspelt or impossible is named."""
    right, wrong, sentence = FAULTS[fault]
    assert right in BUOY
    with pytest.raises(CostModelError) as caught:
        model_in(tmp_path, BUOY.replace(right, wrong))

    assert sentence in str(caught.value)
