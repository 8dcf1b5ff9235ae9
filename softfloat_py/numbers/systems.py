"""Number systems in files: what a file says of one, and the system that it says."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from softfloat_py.numbers.formats import KNOWN_FORMATS, Format
from softfloat_py.numbers.value_system import ValueSystem

KIND = "system"
# By the kind that `parameters_to_save` states; a binary format states none, as files have it from the first.
KINDS: dict[str, Callable[..., ValueSystem]] = {}


def system_of(saved: Mapping[str, Any]) -> ValueSystem:
    """The number system with these parameters, the known one of its name if that is the same.

    Raises FormatError for parameters that no system has, ValueError or TypeError for what is none.
    """
    parameters = dict(saved)
    kind = parameters.pop(KIND, None)
    if kind is None:
        fmt = Format(**parameters)
        known = KNOWN_FORMATS.get(fmt.name)
        return known if known == fmt and known is not None else fmt
    if kind not in KINDS:
        raise ValueError(f"a number system of a kind that is not known here: {kind!r}")
    return KINDS[kind](**parameters)
