"""Data flows one way through the rooms: no module imports one that comes after it."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "softfloat_py"

# The rooms in the order of the flow; those of one line may import each other.
FLOW = (
    (
        "errors",
        "formats",
        "options",
        "blocks",
        "environment",
        "keeping",
        "suggestions",
        "whole_files",
    ),
    ("routines",),
    ("integer_form",),
    ("lowering",),
    ("engines",),
    ("operations",),
    ("uses",),
    ("numbers", "tally"),
    ("kernels",),
    ("pricing",),
    ("studies",),
    ("views", "c_export", "guide"),
    ("commands",),
    ("__main__", "__init__"),
)
PLACES = {room: place for place, rooms in enumerate(FLOW) for room in rooms}

# Against the flow, late: inside a function that makes a value of a later room, or for the type checker alone.
LATE = {
    ("tally", "pricing"),
    ("pricing", "views"),
    ("studies", "views"),
}


class Import(NamedTuple):
    """One module of the package importing another; `late` if not when it is loaded."""

    file: str
    line: int
    room: str
    imported: str
    late: bool

    @property
    def is_legal(self) -> bool:
        """Whether it goes with the flow, or is a listed exception."""
        if PLACES[self.imported] <= PLACES[self.room]:
            return True
        return self.late and (self.room, self.imported) in LATE


def modules() -> Iterator[Path]:
    """The package's source files."""
    return (path for path in sorted(PACKAGE.rglob("*.py")) if "costmodels" not in path.parts)


def room_of(parts: tuple[str, ...]) -> str:
    """The room of a module, given by its path or dotted name below the package."""
    return parts[0].removesuffix(".py") if parts else "__init__"


def imported_rooms(node: ast.AST) -> list[str]:
    """The rooms that an import statement names."""
    if isinstance(node, ast.Import):
        names = [alias.name for alias in node.names]
    elif isinstance(node, ast.ImportFrom) and node.module == "softfloat_py":
        names = [f"softfloat_py.{alias.name}" for alias in node.names]
    elif isinstance(node, ast.ImportFrom):
        names = [node.module or ""]
    else:
        return []
    split = [tuple(name.split(".")) for name in names]
    return [room_of(parts[1:]) for parts in split if parts[0] == "softfloat_py"]


def imports_of(path: Path) -> Iterator[Import]:
    """All imports of the package's own modules in one of them."""
    room = room_of(path.relative_to(PACKAGE).parts)
    tree = ast.parse(path.read_text(encoding="utf-8"))
    at_once = {id(node) for node in tree.body}
    for node in ast.walk(tree):
        for imported in imported_rooms(node):
            line = getattr(node, "lineno", 0)
            yield Import(str(path.relative_to(ROOT)), line, room, imported, id(node) not in at_once)


ALL_IMPORTS = [found for path in modules() for found in imports_of(path)]


def test_every_module_has_a_place_in_the_flow() -> None:
    """The rooms are all there are, so that nothing escapes the rule."""
    rooms = {room_of(path.relative_to(PACKAGE).parts) for path in modules()}

    assert set() == rooms - PLACES.keys()


def test_imports_go_with_the_flow() -> None:
    """No module imports from a later room, but for the listed late imports."""
    assert [] == [found for found in ALL_IMPORTS if not found.is_legal]


def test_every_exception_is_needed() -> None:
    """An exception that no module makes use of is taken off the list."""
    used = {(found.room, found.imported) for found in ALL_IMPORTS}

    assert set() == LATE - used


NEEDED_LATER = ["softfloat_py.engines.arrays", "softfloat_py.pricing", "softfloat_py.views", "tomllib"]


@pytest.mark.parametrize("late", NEEDED_LATER)
def test_importing_the_library_leaves_out(late: str) -> None:
    """What not every program needs is not loaded before it is used."""
    loaded = subprocess.run(
        [sys.executable, "-c", "import sys, softfloat_py; print(*sys.modules)"],
        cwd=ROOT, check=True, capture_output=True, text=True,
    ).stdout.split()  # fmt: skip

    assert "softfloat_py" in loaded
    assert [] == [name for name in loaded if name == late or name.startswith(f"{late}.")]
