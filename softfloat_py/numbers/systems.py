"""Number systems in files: what a file says of one, and the system that it says."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from softfloat_py.numbers.formats import KNOWN_FORMATS, Format
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.operations import Operation, add_table

KIND = "system"  # the key of a file that states the kind
# What makes a system of a kind from its parameters. A binary format states no kind in files.
KINDS: dict[str, Callable[..., ValueSystem]] = {}


def add_kind(kind: str, make: Callable[..., ValueSystem], operations: Iterable[Operation]) -> None:
    """Make a kind of number system known: what makes one from the parameters in a file, and its operations.

    An operation does what `+`, the functions and numpy's do by the name it has in `operations.OPERATIONS`.
    Raises ValueError where it delivers something else than the one there.
    """
    add_table(kind, operations)
    KINDS[kind] = make


def system_of(saved: Mapping[str, Any]) -> ValueSystem:
    """The number system with these parameters, the known one of its name if that is the same.

    Raises FormatError for parameters that no system has, ValueError or TypeError for what is none.
    """
    parameters = dict(saved)
    kind = parameters.pop(KIND, None)
    if kind is not None:
        if kind not in KINDS:
            raise ValueError(f"a number system of a kind that is not known here: {kind!r}")
        return KINDS[kind](**parameters)
    fmt = Format(**parameters)
    return KNOWN_FORMATS[fmt.name] if fmt.is_named else fmt
