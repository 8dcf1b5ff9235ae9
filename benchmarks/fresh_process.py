"""Figures measured by a program in an interpreter of its own, where nothing is loaded or cached yet."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def figures(program: str, *arguments: str) -> list[float]:
    """The numbers that a program prints."""
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments], cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True
    )
    return [float(number) for number in done.stdout.split()]
