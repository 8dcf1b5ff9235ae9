"""Figures measured by a program in an interpreter of its own, where nothing is loaded or cached yet."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def figures(program: str, *arguments: str, bytecode: str) -> list[float]:
    """The numbers that a program prints.

    `bytecode` is a folder in which modules are kept compiled from one process to the next, as they are where
    a package has been installed.
    """
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": bytecode}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        cwd=ROOT,
        env=environment,
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    return [float(number) for number in done.stdout.split()]
