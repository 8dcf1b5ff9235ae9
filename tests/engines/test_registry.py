"""The list of engines: all there are, what they do, and what is said of one that is not here."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from softfloat_py import engines
from softfloat_py.engines.registry import ENGINES, Engine, available
from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import binary16
from tests.engines.running import task_of, used

ROOM = Path(engines.__file__).parent


def test_every_engine_of_the_room_is_listed() -> None:
    """A module with a function `deliver` is an engine, by its own name."""
    files = [*ROOM.glob("*.py"), *ROOM.glob("*/__init__.py")]
    delivering = [path for path in files if "\ndef deliver(" in path.read_text(encoding="utf-8")]

    assert len(delivering) >= 4
    assert {path.stem if path.parent == ROOM else path.parent.name for path in delivering} == set(ENGINES)
    assert set(ENGINES) == {engine.name for engine in available()}


@pytest.mark.parametrize("engine", available(), ids=lambda engine: engine.name)
def test_an_engine_delivers_rows_and_counts_if_it_says_so(engine: Engine) -> None:
    """1.5 + 0.25 and 1.5 + inf in binary16, with flags; counts from those that count."""
    use = used("addition", binary16)
    rows = [
        use.arguments(operands, Rounding.TIES_TO_EVEN) for operands in ((0x3E00, 0x3400), (0x3E00, 0x7C00))
    ]
    delivered = engine.deliver(task_of(use), rows)

    assert [(0x3F00, 0), (0x7C00, 0)] == delivered.rows
    assert engine.counts == (delivered.counts is not None)
    if delivered.counts is not None:
        assert 2 == sum(n for entry, n in delivered.counts.items() if entry.kind == "call")


@pytest.mark.parametrize("engine", available(), ids=lambda engine: engine.name)
def test_an_engine_delivers_nothing_for_no_rows(engine: Engine) -> None:
    """Without rows of arguments there are none of results, and nothing is counted."""
    delivered = engine.deliver(task_of(used("addition", binary16)), [])

    assert [] == delivered.rows
    assert not +(delivered.counts or Counter())


def test_an_engine_that_is_not_here_says_what_it_needs() -> None:
    """An optional engine is left out by the reason, and raises it when it is asked all the same."""
    elsewhere = Engine(
        "elsewhere", "softfloat_py.engines.plain", "", counts=False, needs=("no_such_package",)
    )

    assert "the engine elsewhere needs no_such_package installed" == elsewhere.why_missing
    with pytest.raises(ImportError, match="no_such_package"):
        elsewhere.deliver(task_of(used("negate", binary16)), [(0,)])


def test_directions_that_differ_are_refused_where_all_rows_run_at_once() -> None:
    """The array engine takes one direction for all elements."""
    use = used("addition", binary16)
    rows = [use.arguments((0, 0), direction) for direction in (0, 4)]
    with pytest.raises(ValueError, match="direction must be the same"):
        ENGINES["arrays"].deliver(task_of(use), rows)


def test_engines_are_imported_when_they_are_asked() -> None:
    """The list alone loads none of them, nor numpy."""
    loaded = subprocess.run(
        [sys.executable, "-c", "import sys, softfloat_py.engines.registry; print(*sys.modules)"],
        check=True, capture_output=True, text=True,
    ).stdout.split()  # fmt: skip

    assert "softfloat_py.engines.registry" in loaded
    assert set() == {"numpy", "softfloat_py.engines.arrays", "softfloat_py.engines.stepwise"} & set(loaded)
