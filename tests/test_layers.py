"""Data flows one way: no module imports one of a later room, and no modules import each other in a circle."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator, Set
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "softfloat_py"

# The rooms in the order of the flow; those of one line may import each other, but not in a circle of modules.
FLOW = (
    (
        "errors",
        "formats",
        "number_systems",
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
    ("studies", "teaching"),
    ("views", "c_export", "board", "guide"),
    ("commands",),
    ("__main__", "__init__"),
)
PLACES = {room: place for place, rooms in enumerate(FLOW) for room in rooms}

# The imports against the flow, by importing and imported module, and what each is for. All are late: inside a
# function, or for the type checker alone.
LATE = {
    ("numbers.emulated", "numbers.numpy_calls.dispatching"): "numpy's protocol: what numpy calls on a value",
    ("numbers.complex.complex_value", "numbers.complex.complex_functions"): "the same for complex values",
    (
        "numbers.composed_operators",
        "numbers.numpy_calls.powers",
    ): "** of kernels, which spares the way by numpy",
    ("numbers.emulated", "numbers.formats"): "the public type of `format`, for the type checker alone",
    ("tally.tally", "tally.files"): "Tally.save and Tally.load",
    ("tally.tally", "pricing.estimate"): "Tally.estimate",
    ("tally.tally", "pricing.cost_model"): "the type of its argument, for the type checker alone",
    ("pricing.estimate", "views.estimate_table"): "the text of an Estimate",
    ("pricing.bounds", "views.bounds_table"): "the text of Bounds",
    ("pricing.calibration", "views.calibration_table"): "the text of a Calibration",
    ("studies.comparing", "views.host_comparison"): "the text of a comparison with the host",
    ("studies.comparing", "views.waiting"): "the sign of life of a comparison that takes its time",
    ("studies.double_rounding", "views.conversion_in_steps"): "the text of conversions in steps",
    ("teaching.explanation", "views.explanation"): "the text of an Explanation",
}


class Import(NamedTuple):
    """One module of the package importing another; `late` if not when it is loaded."""

    module: str
    line: int
    imported: str
    late: bool

    @property
    def is_listed(self) -> bool:
        """Whether it is an exception that is listed."""
        return self.late and (self.module, self.imported) in LATE

    @property
    def is_legal(self) -> bool:
        """Whether it goes with the flow of the rooms, or is listed."""
        return PLACES[room_of(self.imported)] <= PLACES[room_of(self.module)] or self.is_listed


def room_of(module: str) -> str:
    """The room that a module is in."""
    return module.split(".")[0]


def name_of(path: Path) -> str:
    """A module's name below the package, that of a room for its __init__."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" and len(parts) > 1 else parts)


FILES = {name_of(path): path for path in sorted(PACKAGE.rglob("*.py")) if "costmodels" not in path.parts}


def module_named(name: str) -> str | None:
    """The module of ours that a dotted name is or is in, None for a name of others."""
    package, _, rest = name.partition(".")
    if package != "softfloat_py":
        return None
    while rest and rest not in FILES:
        rest = rest.rpartition(".")[0]
    return rest or "__init__"


def imported_names(node: ast.AST) -> list[str]:
    """What an import statement names, in full."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        return [f"{node.module}.{alias.name}" for alias in node.names]
    return []


def imports_of(module: str, path: Path) -> Iterator[Import]:
    """All imports of the package's own modules in one of them, within functions too."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    at_once = {id(node) for node in tree.body}
    for node in ast.walk(tree):
        for imported in filter(None, map(module_named, imported_names(node))):
            if imported != module:
                yield Import(module, getattr(node, "lineno", 0), imported, id(node) not in at_once)


@cache
def all_imports() -> tuple[Import, ...]:
    """All imports within the package."""
    return tuple(found for module, path in FILES.items() for found in imports_of(module, path))


def circle_without(left_out: Set[tuple[str, str]]) -> list[str]:
    """A circle of modules that import each other, late imports included; empty if there is none."""
    graph: dict[str, set[str]] = {module: set() for module in FILES}
    for found in all_imports():
        if (found.module, found.imported) not in left_out:
            graph[found.module].add(found.imported)
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_every_module_has_a_place_in_the_flow() -> None:
    """The rooms are all there are, so that nothing escapes the rule."""
    assert set() == {room_of(module) for module in FILES} - PLACES.keys()


def test_imports_go_with_the_flow() -> None:
    """No module imports from a later room, but for the listed late imports."""
    assert [] == [found for found in all_imports() if not found.is_legal]


def test_no_modules_import_each_other_in_a_circle() -> None:
    """Late imports and those for the type checker count as well, but for the listed ones."""
    assert [] == circle_without(
        {(found.module, found.imported) for found in all_imports() if found.is_listed}
    )


@pytest.mark.parametrize("exception", LATE, ids=" to ".join)
def test_every_exception_is_needed(exception: tuple[str, str]) -> None:
    """Without an exception there is a circle, or an import against the flow."""
    against = [found for found in all_imports() if (found.module, found.imported) == exception]

    assert against
    assert any(
        PLACES[room_of(one.imported)] > PLACES[room_of(one.module)] for one in against
    ) or circle_without(LATE.keys() - {exception})


NEEDED_LATER = [
    "softfloat_py.engines.arrays",
    "softfloat_py.pricing",
    "softfloat_py.views",
    "numpy",
    "tomllib",
]


@pytest.mark.parametrize("late", NEEDED_LATER)
def test_importing_the_library_leaves_out(late: str) -> None:
    """What not every program needs is not loaded before it is used, nor by computing with Numbers."""
    program = (
        "import sys, softfloat_py as sf; sf.binary32(1.5) * 2 + sf.square_root(sf.binary32(2)); "
        "print(*sys.modules)"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, check=True, capture_output=True, text=True
    ).stdout.split()

    assert "softfloat_py" in loaded
    assert [] == [name for name in loaded if name == late or name.startswith(f"{late}.")]
