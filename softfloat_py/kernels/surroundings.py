"""Where a kernel file finds its imports: as a script does, leaving no trace in the program that runs it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType

from softfloat_py.kernels.world import lies_in

NAME = "kernel_file"  # of the file's module; as "__main__" it would run its own main
LIBRARY = __name__.partition(".")[0]


@dataclass(slots=True)
class Surroundings:
    """A file's folder, which comes first among the places of its imports, and what it has made of them.

    `added` are the places that the file put on the path itself, `modules` what it has imported from them all.
    """

    folder: Path
    path: list[str] = field(default_factory=list)
    added: list[str] = field(default_factory=list)
    modules: dict[str, ModuleType] = field(default_factory=dict)

    @contextmanager
    def in_force(self) -> Iterator[None]:
        """As when the file is run as a script."""
        path, hidden, before = list(sys.path), self._shadowed(), set(sys.modules)
        for name in hidden:
            del sys.modules[name]
        sys.modules.update(self.modules)
        sys.path[:] = self.path or [str(self.folder), *path]
        try:
            yield
        finally:
            self.path, self.added = list(sys.path), [place for place in sys.path if place not in path]
            sys.path[:] = path
            self.modules |= {name: sys.modules[name] for name in self._imported(before - hidden.keys())}
            for name in self.modules:
                sys.modules.pop(name, None)
            sys.modules.update(hidden)

    @property
    def folders(self) -> tuple[str, ...]:
        """The folders of the program's own modules, each ending in a slash."""
        return tuple(f"{Path(place).resolve()}/" for place in {str(self.folder), *self.added})

    def _imported(self, before: set[str]) -> list[str]:
        new = sys.modules.keys() - before
        return [name for name in new if name == NAME or lies_in(sys.modules[name], self.folders)]

    def _shadowed(self) -> dict[str, ModuleType]:
        """Modules from elsewhere that have the name of a file or folder beside this one."""
        beside = {entry.stem for entry in self.folder.iterdir() if entry.suffix == ".py" or entry.is_dir()}
        # Beside a checkout of this library, what runs the kernel stays, or there would be two of it.
        beside.difference_update(sys.builtin_module_names, [LIBRARY])
        return {
            name: module
            for name, module in sys.modules.items()
            if name.split(".")[0] in beside
            if not lies_in(module, self.folders)
        }
