"""Compilers and simulators that tests need and that not every machine has."""

from __future__ import annotations

import os
import shutil
from importlib import import_module
from typing import Any, NoReturn

import pytest


def missing(what: str) -> NoReturn:
    """The end of a test that needs a tool: skipped, or failed where DEMAND_TOOLS is set, as where tools may
    be installed.
    """
    if os.environ.get("DEMAND_TOOLS"):
        pytest.fail(what, pytrace=False)
    pytest.skip(what)


def compiler(name: str, package: str) -> str:
    """The path of a compiler, which Debian has in a package."""
    path = shutil.which(name)
    if path is None:
        missing(f"{name} is not installed; on Debian: apt-get install {package}")
    return path


def simulator(module: str, package: str) -> Any:
    """A module that simulates a CPU or reads its programs, from a package of PyPI."""
    try:
        return import_module(module)
    except ImportError:
        missing(f"{module} is not installed: pip install {package}")
