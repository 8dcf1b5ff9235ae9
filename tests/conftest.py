"""What all tests share: golden files, which find themselves by the name of the test."""

from __future__ import annotations

import gc
import re
from collections.abc import Callable
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent / "golden"
collect_ignore = ["typing"]  # programs for the type checker, which are not run

# Programs that were read are kept, millions of objects, and Python's collector would go through all of them
# again and again: a fifth of the suite's time.
gc.set_threshold(200_000, 20, 50)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the switch that rewrites golden files."""
    parser.addoption(
        "--write-golden", action="store_true", help="rewrite the golden files of the tests that run"
    )


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Compare a text with the test's golden file, tests/golden/<module>.<test>.txt."""
    name = re.sub(r"[^\w.-]+", "-", request.node.name).strip("-")
    path = FOLDER / f"{request.module.__name__.rpartition('.')[2]}.{name}.txt"
    write = request.config.getoption("--write-golden")

    def check(text: str) -> None:
        if write:
            path.write_text(text + "\n", encoding="utf-8")
        if not path.exists():
            pytest.fail(
                f"golden file {path.name} is missing; make it by: pytest --write-golden {request.node.nodeid}"
            )
        assert path.read_text(encoding="utf-8") == text + "\n", (
            f"{path.name} differs; if the new text is right: pytest --write-golden {request.node.nodeid}"
        )

    return check
