"""What a test does without its tool."""

from __future__ import annotations

import pytest

from tests import tools


def test_a_missing_tool_skips_a_test(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing is demanded, the reason says how to install what is missing."""
    monkeypatch.delenv("DEMAND_TOOLS", raising=False)

    with pytest.raises(
        pytest.skip.Exception, match="no-such-gcc is not installed; on Debian: apt-get install it"
    ):
        tools.compiler("no-such-gcc", "it")


def test_a_missing_tool_that_is_demanded_fails_a_test(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where tools may be installed, as CI does it, a test without its own cannot pass for one that ran."""
    monkeypatch.setenv("DEMAND_TOOLS", "1")

    with pytest.raises(pytest.fail.Exception, match="no_such_simulator is not installed: pip install it"):
        tools.simulator("no_such_simulator", "it")
