"""What tests of commands share: a kernel file, and commands that must be refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from softfloat_py.__main__ import main

DRIFT = """
import numpy as np

def kernel(acceleration, interval, settling):
    velocity = 0.0
    for sample in acceleration[settling:]:
        velocity = velocity + interval * sample
    return velocity

def inputs():
    return np.array([9.0, 0.5, -0.25, 0.75]), 0.25, 1
"""


@pytest.fixture
def drift(tmp_path: Path) -> str:
    """A kernel file: three accelerations of a buoy, integrated to a velocity of 0.25 m/s."""
    path = tmp_path / "drift.py"
    path.write_text(DRIFT, encoding="utf-8")
    return str(path)


@pytest.fixture
def refusal(capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """Run a command that must be refused; gives its one sentence, without the line end."""

    def run(*arguments: str) -> str:
        assert 2 == main(arguments)
        printed = capsys.readouterr()
        assert "" == printed.out
        return printed.err.removesuffix("\n")

    return run
