"""Commands that may take long say so on a terminal, whatever it is that takes them so long."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import sleep
from typing import Any

import pytest

from softfloat_py.__main__ import main
from softfloat_py.engines.c.files import Unit
from softfloat_py.views import bounds_table, estimate_table, waiting
from tests.views.terminal import Terminal


def late(function: Callable[..., Any]) -> Callable[..., Any]:
    """A function that takes a while."""

    def delayed(*arguments: Any) -> Any:
        sleep(0.05)
        return function(*arguments)

    return delayed


def test_long_commands_give_a_sign_of_life(
    drift: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beside the run of a kernel, what prices it, finds bounds or writes C says that it is at work."""
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr(waiting, "_PATIENCE", 0.001)
    monkeypatch.setattr(estimate_table, "overview", late(estimate_table.overview))
    monkeypatch.setattr(Unit, "save", late(Unit.save))
    monkeypatch.setattr(bounds_table, "table", late(bounds_table.table))

    assert 0 == main(["estimate", drift, "--cpu", "cortex-m0plus"])
    assert f"pricing {drift} … 0 s" in terminal.getvalue()
    assert 0 == main(["c", "--operations", "negate", "--output", str(tmp_path)])
    assert "writing binary32.c … 0 s" in terminal.getvalue()
    assert 0 == main(["bounds", "--cpu", "cortex-m0plus", "--operations", "negate"])
    assert "following all ways through the operations … 0 s" in terminal.getvalue()
