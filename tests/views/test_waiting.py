"""The sign of life: only on a terminal, only after a while, and gone at the end."""

from __future__ import annotations

import sys
from threading import Event

import pytest

from softfloat_py.views import waiting
from tests.views.terminal import Terminal


def test_long_work_says_how_long(monkeypatch: pytest.MonkeyPatch) -> None:
    """What takes longer than the patience is said, and the line is cleared at the end."""
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr(waiting, "_PATIENCE", 0.001)
    with waiting.sign_of_life("running buoy.py"):
        assert terminal.written.wait(timeout=60)

    assert "running buoy.py … 0 s" in terminal.getvalue()
    assert terminal.getvalue().endswith("\r\x1b[K")


def test_short_work_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is done within the patience leaves no sign."""
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with waiting.sign_of_life("running buoy.py"):
        pass

    assert "" == terminal.getvalue()


def test_no_terminal_no_sign(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Where standard error is no terminal, nothing is said however long it takes."""
    monkeypatch.setattr(waiting, "_PATIENCE", 0.0)
    with waiting.sign_of_life("running buoy.py"):
        Event().wait(0.01)

    assert "" == capsys.readouterr().err
