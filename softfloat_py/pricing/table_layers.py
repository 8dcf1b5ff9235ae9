"""What the files of a CPU say for one compiler: each with its layer over it, then one over the other.

A *layer* is the table of a compiler in a CPU's file: what code that it makes has otherwise than the rest of
the file says. A file that is based on others is laid over them for each compiler by itself, so what it says
whatever the compiler stands over what a layer of its base says. Nothing here knows what a key means.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from typing import Any

IN_GENERAL = "c"  # the compiler of a file that names none
BY_HAND = "hand-scheduled"  # what no compiler makes

BASE = "based_on"
DEFAULT = "default_compiler"
COMPILERS = "compilers"
COMPARED = "compared_with_compiled_code"
MEASURED = "measured_on_silicon"
OF_ONE_COMPILER = (COMPARED, MEASURED)
LAYERED = ("abilities", "steps", "surrounding_code", "compiler", *OF_ONE_COMPILER)

Table = dict[str, Any]


class Layers:
    """The files of a CPU: one that has no base, then each based on the one before it."""

    def __init__(self, files: Sequence[Table]) -> None:
        self.files = files

    @property
    def default(self) -> str:
        """The compiler that is meant where none is named."""
        return _default(self.files)

    @property
    def compilers(self) -> list[str]:
        """All compilers that the tables describe, the default one first."""
        others = (name for file in self.files for name in _layers(file))
        return list(dict.fromkeys([self.default, *others]))

    @property
    def named(self) -> Table:
        """What the files say of compilers by name, and nothing else."""
        return reduce(laid_over, [_only(file, DEFAULT, COMPILERS) for file in self.files])

    def table(self, compiler: str | None) -> Table:
        """All that the files say for a compiler, or whatever the compiler is."""
        defaults = [_default(self.files[: end + 1]) for end in range(len(self.files))]
        return reduce(
            laid_over,
            [_of_file(file, compiler, default) for file, default in zip(self.files, defaults, strict=True)],
        )


def laid_over(base: Table, own: Table) -> Table:
    """A base with a table's own entries in it; an entry that states its own source is taken whole."""
    result = dict(base)
    for key, value in own.items():
        merges = isinstance(value, dict) and isinstance(base.get(key), dict) and "source" not in value
        result[key] = laid_over(base[key], value) if merges else value
    return result


def without(table: Table, *keys: str) -> Table:
    """A table without some of its keys."""
    return {key: value for key, value in table.items() if key not in keys}


def _only(table: Table, *keys: str) -> Table:
    return {key: value for key, value in table.items() if key in keys}


def _default(files: Sequence[Table]) -> str:
    named = [file[DEFAULT] for file in files if isinstance(file.get(DEFAULT), str)]
    return named[-1] if named else IN_GENERAL


def _layers(file: Table) -> dict[str, Table]:
    """The layers of a file; what is none is a fault, noted when it is read."""
    layers = file.get(COMPILERS)
    if not isinstance(layers, dict):
        return {}
    return {name: layer for name, layer in layers.items() if isinstance(layer, dict)}


def _of_file(file: Table, compiler: str | None, default: str) -> Table:
    """What one file says for a compiler. What was measured of compiled code is that of its default compiler:
    of another there is no more than the layer has.
    """
    own = without(file, BASE, DEFAULT, COMPILERS)
    if compiler not in (None, default):
        own |= {key: [] for key in OF_ONE_COMPILER if key in own}
    layer = {} if compiler is None else _layers(file).get(compiler, {})
    return laid_over(own, _only(layer, *LAYERED))
